"""The loose talk of a language: read when it is first needed, since it is large."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from voiceassist.errors import LanguageError
from voiceassist.language.expectation import Expectation
from voiceassist.language.filling import Named, awaited, fill_talk, suiting
from voiceassist.language.jsgf import Alternatives, Expression, Grammar, Ref
from voiceassist.language.linking import changing, link
from voiceassist.language.loosely import Loosely
from voiceassist.language.network import Networks
from voiceassist.language.read_jsgf import read_grammar
from voiceassist.language.shaping import pruned, words_of
from voiceassist.language.walking import Acceptor, Walker

#: Files that begin so hold talk, and are not read with the others.
PREFIX = "talk"
#: What each walker of ``Loosely`` walks through.
_RULES = {
    "before": "talk.before",
    "after": "talk.after",
    "said": "talking.said",
    "told_here": "talking.told-here",
    "first": "talking.first",
    "begins": "talking.begins",
    "holds": "talking.holds",
    "aside": "talking.aside",
    "supposing": "talking.supposing",
    "tells": "talking.tells",
    "numbered": "talking.numbered",
    "counted": "talking.counted",
    "pointed": "talking.pointed",
    "amends": "talking.amends",
    "taking_back": "talking.taking-back",
    "of_before": "talking.of-before",
    "relating": "talking.relating",
    "hailing": "talking.hailing",
    "to_a_mate": "talking.to-a-mate",
    "recalling": "talking.recalling",
    "to_be_noted": "talking.to-be-noted",
    "unlit": "talking.unlit",
    "of_it": "talking.of-it",
    "told_before": "talking.told-before",
    "not_made": "talking.not-made",
    "forgotten": "talking.forgotten",
    "together": "talking.together",
    "of_another": "talking.of-another",
    "as_it_works": "talking.as-it-works",
    "complaining": "talking.complaining",
    "failing": "talking.failing",
    "pointing": "talking.pointing",
    "asking_behind": "talking.asking-behind",
    "works_now": "talking.works-now",
    "fails_still": "talking.fails-still",
    "broken": "talk.broken-so",
    "the_one": "talk.the-one",
}
#: What a recogniser may search, each part with how often it is said; languages may lack it.
_HEARD = "talking.heard"
_HESITATION, _JOINED = "talk.hesitation", "talking.joined"
_FIGURES, _MEASURES, _DIGITS = "talking.figures", "talking.measures", "talking.digits"
_NONE, _POINT = "talk.no", "numbers.point"
_DENIAL, _ASKING, _ARTICLES = "talking.denial", "talking.asking", "talk.the"
_LIGHTLY, _BETWEEN = "talking.lightly", "talking.between-states"
_AT_NAME = "talking.at-name"
_NO_SETTING, _PLACE = "talking.no-setting", "talking.a-place"
_RESERVING, _UNHEEDING = "talking.reserving", "talking.unheeding"
_OF_HIMSELF = "talking.of-himself"
_ROUGHLY, _AS_IT_SHOULD = "talking.roughly", "talking.as-it-should"
_AFFIRMING = "talking.affirming"
_REPAIRING, _UNDONE = "talking.repairing", "talking.left-undone"
_OF_ALL, _OF_WORK = "talking.of-all", "talking.of-work"

#: Steps through a part, and its share of all that is said of these.
Searched = tuple[Acceptor, float]
_Key = tuple[frozenset[str], frozenset[str], tuple[object, ...]]


class Talk:
    """What people say in other words than the grammar of the steps has.

    Args:
        files: name to text of the grammar files that hold it; none for a language without.
        grammars: the language's others.
        rules: of those, by full name.
        networks: of those of them that do not change.
    """

    def __init__(
        self,
        files: Mapping[str, str],
        grammars: Sequence[Grammar],
        rules: Mapping[str, Expression],
        networks: Networks,
    ) -> None:
        self._files = files
        self._grammars = grammars
        self._beside = networks
        self._base = rules
        self._rules: Mapping[str, Expression] | None = None
        self._examples: Mapping[str, tuple[str, ...]] = {}
        self._closed = networks
        self._open: Mapping[str, Expression] = {}
        self._known: dict[_Key, Loosely] = {}
        self._searched: dict[_Key, tuple[Searched, ...]] = {}
        self._steppers: dict[str, Acceptor] = {}

    def read(self) -> None:
        """Read the files now, so that no phrase has to wait for it."""
        if self._rules is None:
            self._read()

    @property
    def rules(self) -> Mapping[str, Expression]:
        """Its rules and the language's others."""
        self.read()
        assert self._rules is not None
        return self._rules

    @property
    def examples(self) -> Mapping[str, tuple[str, ...]]:
        """What its rules give as examples, by the rule's full name."""
        self.read()
        return self._examples

    def _read(self) -> None:
        read = [read_grammar(text, name) for name, text in self._files.items()]
        rules = link([*self._grammars, *read]) if read else dict(self._base)
        opened = changing(rules)
        new = {name: body for name, body in rules.items() if name not in self._beside.starts}
        closed = {name: body for name, body in new.items() if name not in opened}
        self._closed = Networks.build(closed, self._beside)
        self._open = {name: body for name, body in new.items() if name.startswith("talk")}
        self._open = {name: body for name, body in self._open.items() if name in opened}
        self._rules = rules
        self._examples = {
            f"{grammar.name}.{rule.name}": rule.examples
            for grammar in read
            for rule in grammar.rules
            if rule.examples
        }

    def at(self, expectation: Expectation, named: Named) -> Loosely:
        """What loose talk means where ``expectation`` holds."""
        if not self._files:
            return Loosely()
        key = self._key(expectation)
        if key not in self._known:
            self._known[key] = self._loosely(self._filled(key, named))
        return replace(self._known[key], here=[name.split() for name in expectation.here])

    def searched(self, expectation: Expectation, named: Named) -> tuple[Searched, ...]:
        """Whole phrases that a recogniser may search where ``expectation`` holds, in parts.

        A part that is the same at another step is the same object there.
        """
        if _HEARD not in self.rules:
            return ()
        key = self._key(expectation)
        if key not in self._searched:
            filled = self._filled(key, named)
            self._searched[key] = tuple(self._parts({**self.rules, **filled}, filled))
        return self._searched[key]

    def _key(self, expectation: Expectation) -> _Key:
        named = (expectation.names, expectation.states, expectation.causes, expectation.steps)
        return awaited(expectation), suiting(expectation, self.rules), named

    def _filled(self, key: _Key, named: Named) -> Mapping[str, Expression]:
        return fill_talk(key[0], named, key[1])

    def _parts(
        self, rules: Mapping[str, Expression], filled: Mapping[str, Expression]
    ) -> Iterator[Searched]:
        starts = Networks.build({**filled, **self._open}, self._closed).starts
        used = pruned(rules, _HEARD)
        weights = dict(_weighted(used[_HEARD], 1.0)) if _HEARD in used else {}
        for name, weight in weights.items():
            stepper = Acceptor(starts[name])
            if name in self._closed.starts:
                stepper = self._steppers.setdefault(name, stepper)
            yield stepper, weight / sum(weights.values())

    def _loosely(self, filled: Mapping[str, Expression]) -> Loosely:
        starts = Networks.build({**filled, **self._open}, self._closed).starts
        walkers = {part: Walker(starts[rule]) for part, rule in _RULES.items() if rule in starts}

        def words(rule: str) -> frozenset[str]:
            return words_of({rule: self.rules[rule]}) if rule in self.rules else frozenset()

        return Loosely(
            **walkers,
            here=(),
            hesitation=words(_HESITATION),
            figures=words(_FIGURES) | words(_MEASURES),
            measures=words(_MEASURES),
            joined=words(_JOINED),
            at_name=words(_AT_NAME),
            digits=words(_DIGITS),
            none=words(_NONE),
            point=words(_POINT),
            denial=words(_DENIAL),
            asking=words(_ASKING),
            articles=words(_ARTICLES),
            lightly=words(_LIGHTLY),
            between=words(_BETWEEN),
            no_setting=words(_NO_SETTING),
            place=words(_PLACE),
            reserving=words(_RESERVING),
            unheeding=words(_UNHEEDING),
            of_himself=words(_OF_HIMSELF),
            roughly=words(_ROUGHLY),
            as_it_should=words(_AS_IT_SHOULD),
            affirming=words(_AFFIRMING),
            of_all=words(_OF_ALL),
            repairing=words(_REPAIRING),
            undone=words(_UNDONE),
            of_work=words(_OF_WORK),
            being=words("talking.being"),
            of_meter=words("talking.of-meter"),
            of_somebody=words("talking.of-somebody"),
            mending=words("talk.mending"),
            to_mend=words("talk.to-mend"),
        )


def _weighted(body: Expression, weight: float) -> Iterator[tuple[str, float]]:
    """The rules that ``body`` has to choose from, each with its weight.

    Raises:
        LanguageError: there is something else in it.
    """
    if isinstance(body, Alternatives):
        for option, own in zip(body.options, body.weights, strict=True):
            yield from _weighted(option, own)
    elif isinstance(body, Ref):
        yield body.name, weight
    else:
        raise LanguageError(
            f"<{_HEARD}> is not a choice of rules", remedy="write each of its phrases into a rule"
        )
