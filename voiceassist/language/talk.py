"""The loose talk of a language: read when it is first needed, since it is large."""

from collections.abc import Iterable, Mapping, Sequence

from voiceassist.language.expectation import Expectation
from voiceassist.language.filling import Said, asks_for_good, awaited, fill_talk
from voiceassist.language.jsgf import Expression, Grammar, read_grammar
from voiceassist.language.linking import changing, link
from voiceassist.language.loosely import Loosely
from voiceassist.language.network import Networks
from voiceassist.language.shaping import words_of
from voiceassist.language.walking import Walker

#: Files that begin so hold talk, and are not read with the others.
PREFIX = "talk"
#: What each walker of ``Loosely`` walks through.
_RULES = {
    "before": "talk.before",
    "after": "talk.after",
    "said": "talking.said",
    "first": "talking.first",
    "begins": "talking.begins",
    "holds": "talking.holds",
}
_HESITATION, _FIGURES, _JOINED = "talk.hesitation", "talking.figures", "talking.joined"

_Key = tuple[frozenset[str], bool, tuple[object, ...], tuple[object, ...]]


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

    def at(
        self, expectation: Expectation, names: Iterable[Said], states: Iterable[Said]
    ) -> Loosely:
        """What loose talk means where ``expectation`` holds."""
        if not self._files:
            return Loosely()
        good = asks_for_good(expectation, self.rules)
        key = (awaited(expectation), good, expectation.names, expectation.states)
        if key not in self._known:
            self._known[key] = self._loosely(fill_talk(key[0], names, states, good=good))
        return self._known[key]

    def _loosely(self, filled: Mapping[str, Expression]) -> Loosely:
        starts = Networks.build({**filled, **self._open}, self._closed).starts
        walkers = {part: Walker(starts[rule]) for part, rule in _RULES.items() if rule in starts}

        def words(rule: str) -> frozenset[str]:
            return words_of({rule: self.rules[rule]}) if rule in self.rules else frozenset()

        return Loosely(
            **walkers,
            hesitation=words(_HESITATION),
            figures=words(_FIGURES),
            joined=words(_JOINED),
        )
