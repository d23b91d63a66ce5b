"""One spoken language: its grammars, read once and used for hearing, understanding and saying."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal

from voiceassist.errors import LanguageError
from voiceassist.language.display import spoken
from voiceassist.language.expectation import Choice, Expectation
from voiceassist.language.figures import unstuck
from voiceassist.language.filling import IDENTIFIERS, fill
from voiceassist.language.jsgf import Expression
from voiceassist.language.linking import changing, link, reachable, references
from voiceassist.language.meanings import (
    COMMANDS,
    Answer,
    Command,
    Correction,
    Lamp,
    Meaning,
    Note,
    OverRange,
    Reading,
)
from voiceassist.language.network import Networks
from voiceassist.language.parser import Parser
from voiceassist.language.read_jsgf import read_grammar
from voiceassist.language.realise import realise
from voiceassist.language.shaping import tags_of, words_of
from voiceassist.language.step import HEARD, UNDERSTOOD, StepGrammar
from voiceassist.language.talk import PREFIX, Talk
from voiceassist.language.unfold import Counting, unfold
from voiceassist.language.walking import Acceptor, Walker
from voiceassist.language.words import cut
from voiceassist.measure.units import QUANTITIES, Unit

__all__ = ["IDENTIFIERS", "Language", "StepGrammar"]

SAID = "phrases.said"
NOTE = "commands.note"
UNITS = "units."
#: Where a language has them: nouns that a unit may rate, and the units before them.
RATED, RATED_UNIT = "units.rated", "units.one-of"
_NEEDED = (UNDERSTOOD, HEARD, SAID, NOTE, *(f"units.{quantity}" for quantity in QUANTITIES))


@dataclass(frozen=True, slots=True)
class Language:
    """All rules of one language.

    Parts:
        rules: every rule by full name, callees first.
        words: every word in them.
        open_rules: names of the rules that differ from step to step.
        networks: of all the other rules.
        said: of what the assistant says, for a step that can take anything.
        counting: the language's counting words.
        talk: what people say in other words.
        unit_words: every word of a unit.
    """

    rules: Mapping[str, Expression]
    words: frozenset[str]
    open_rules: tuple[str, ...]
    networks: Networks
    said: Networks
    counting: Counting
    talk: Talk
    unit_words: frozenset[str]

    @classmethod
    def load(cls, files: Mapping[str, str]) -> "Language":
        """Read the grammar files of a language, given as name to text; other files are ignored.

        Raises:
            LanguageError: a file is not JSGF, a name is missing, or a rule contains itself.
        """
        files = {name: text for name, text in files.items() if name.endswith(".jsgf")}
        loose = {name: text for name, text in files.items() if name.startswith(PREFIX)}
        grammars = [read_grammar(t, name) for name, t in files.items() if name not in loose]
        rules = link(grammars)
        for name in _NEEDED:
            if name not in rules:
                raise LanguageError(f"the language has no rule <{name}>", remedy="write it")
        open_rules = changing(rules)
        closed = Networks.build({n: b for n, b in rules.items() if n not in open_rules})
        closed.prepare(_called_from_outside(rules, open_rules))
        filled = {**fill(Expectation.anything(), (), rules), **{n: rules[n] for n in open_rules}}
        said = Networks.build(filled, closed)
        counting = Counting.among(tags_of(rules.values()))
        talk = Talk(loose, grammars, rules, closed)
        units = words_of({n: body for n, body in rules.items() if n.startswith(UNITS)})
        return cls(rules, words_of(rules), open_rules, closed, said, counting, talk, units)

    def compose(self, expectation: Expectation) -> StepGrammar:
        """The grammar of a step."""
        phrases = self._said(expectation.choices)
        named = {
            "name": self._said(expectation.names),
            "state": self._said(expectation.states),
            "cause": self._said(expectation.causes),
            "step": self._said(expectation.steps),
        }
        rules = {
            **fill(expectation, phrases, self.rules),
            **{name: self.rules[name] for name in self.open_rules},
        }
        starts = Networks.build(rules, self.networks).starts
        own = {word for said in (phrases, *named.values()) for _, words in said for word in words}
        parser = Parser(
            Walker(starts[UNDERSTOOD]),
            Walker(starts[NOTE]),
            expectation,
            self.words | own,
            phrases,
            self.typed,
            lambda: self.talk.at(expectation, named),
        )
        return StepGrammar(
            expectation,
            parser,
            Acceptor(starts[HEARD]),
            Acceptor(starts[UNDERSTOOD]),
            {**self.rules, **rules},
            self._help,
            _talk=lambda: self.talk.searched(expectation, named),
            _elsewhere=self.compose,
        )

    def _said(self, choices: Iterable[Choice]) -> list[tuple[str, list[str]]]:
        """Name and words of each way to say each of ``choices``."""
        return [
            (choice.name, cut(self.spoken(phrase), self.words))
            for choice in choices
            for phrase in choice.phrases
        ]

    def say(self, meaning: Meaning, *, singly: bool = False) -> str:
        """The words for ``meaning``, digits kept; ``singly`` says each digit by itself.

        Raises:
            LanguageError: the language has no words for it.
        """
        if isinstance(meaning, Note):
            return f"{self.say(Command('note'))} {meaning.text}".strip()
        start = self.said.starts[SAID]
        for tags in unfold(meaning, self.counting, singly=singly):
            words = realise(start, tags)
            if words is not None:
                return words
        raise LanguageError(f"the language has no words for {meaning}")

    def spoken(self, text: str) -> str:
        """``text`` for the voice: figures and unit symbols in words, digits kept."""
        return spoken(text, self.say, self._rated)

    def typed(self, text: str) -> str:
        """The same of what was typed, where a unit may be stuck to its figure."""
        return self.spoken(unstuck(text, self.unit_words))

    def _rated(self, unit: Unit, noun: str) -> str | None:
        """The word for a unit before a noun it rates, where the language has one."""
        if RATED not in self.rules or noun.lower() not in words_of({RATED: self.rules[RATED]}):
            return None
        return realise(self.said.starts[RATED_UNIT], (f"unit {unit.symbol}",))

    def _help(self, expectation: Expectation) -> tuple[str, ...]:
        return tuple(dict.fromkeys(self._help_lines(expectation)))

    def _help_lines(self, expectation: Expectation) -> Iterator[str]:
        if expectation.quantities:
            yield self.say(_example(expectation))
            yield self.say(OverRange())
        if expectation.lamp:
            for name in ("bright", "dim", "flickering", "off"):
                yield self.say(Lamp(name))
        for choice in expectation.choices:
            yield from choice.phrases[:1]
        if expectation.quantities:
            yield self.say(Correction(_example(expectation)))
        for name in ("affirm", "negative", "done", "affirm-reading"):
            yield self.say(Answer(name))
        for name in sorted(COMMANDS):
            yield self.say(Command(name))


def _called_from_outside(rules: Mapping[str, Expression], opened: tuple[str, ...]) -> list[str]:
    """The unchanging rules that the changing ones call to understand a phrase."""
    callers = [name for name in reachable(UNDERSTOOD, rules) if name in opened]
    called = {name for caller in callers for name in references(rules[caller])}
    return sorted(name for name in called if name in rules and name not in opened)


def _example(expectation: Expectation) -> Reading:
    """A reading that the step could take."""
    low, high = expectation.lowest, expectation.highest
    if low is not None and high is not None and expectation.unit is not None:
        middle = (low.to(expectation.unit).value + high.to(expectation.unit).value) / 2
        return Reading(middle.quantize(Decimal("0.1")), expectation.unit)
    return Reading(Decimal("8.4"), expectation.unit)
