"""The loose talk of a language: read when it is first needed, since it is large."""

from collections.abc import Iterator, Mapping, Sequence

from voiceassist.errors import LanguageError
from voiceassist.language.expectation import Expectation
from voiceassist.language.filling import Named, awaited, fill_talk, suiting
from voiceassist.language.jsgf import Alternatives, Expression, Grammar, Ref
from voiceassist.language.linking import changing, link
from voiceassist.language.loose.loosely import Loosely, no_loose_talk
from voiceassist.language.loose.rules import Rules
from voiceassist.language.network import Networks
from voiceassist.language.read_jsgf import read_grammar
from voiceassist.language.shaping import pruned
from voiceassist.language.walking import Acceptor

#: Files that begin so hold talk, and are not read with the others.
PREFIX = "talk"
#: What a recogniser may search, each part with how often it is said; languages may lack it.
_HEARD = "talking.heard"

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
            return no_loose_talk()
        key = self._key(expectation)
        if key not in self._known:
            self._known[key] = self._loosely(self._filled(key, named))
        return self._known[key].awaiting(expectation.here)

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
        return Loosely.of(Rules(starts, self.rules))


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
