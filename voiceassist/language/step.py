"""The grammar of one step: what it can be answered with, for listeners and for the parser."""

import random
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

from voiceassist.language.calling import (
    CALLED_HEARD,
    CALLED_UNDERSTOOD,
    called_rules,
    check_name,
)
from voiceassist.language.expectation import Expectation
from voiceassist.language.export import to_jsgf
from voiceassist.language.jsgf import Expression
from voiceassist.language.loose.answer_words import AnswerWords
from voiceassist.language.loose.complaint_words import ComplaintWords
from voiceassist.language.loose.loosely import Loosely, no_loose_talk
from voiceassist.language.loose.manner import Manner
from voiceassist.language.loose.matching import plain_words
from voiceassist.language.loose.repair_words import RepairWords
from voiceassist.language.loose.state_words import StateWords
from voiceassist.language.loose.value_words import ValueWords
from voiceassist.language.meanings import Meaning, Parsed
from voiceassist.language.network import Networks
from voiceassist.language.numbers_said import NumbersSaid
from voiceassist.language.parser import MOST_WORDS, Parser
from voiceassist.language.plainest import COMMA
from voiceassist.language.sampling import sample
from voiceassist.language.semantics import fold
from voiceassist.language.shaping import pruned, without_tags, words_of
from voiceassist.language.talk import Searched
from voiceassist.language.walking import Acceptor, State
from voiceassist.language.words import cut

UNDERSTOOD = "phrases.understood"
HEARD = "phrases.heard"


@dataclass(slots=True)
class StepGrammar:
    """What can be said at one step.

    Two grammars in one: *understood* holds every way to say things; *heard*, a part of it, is
    what a recogniser searches, since fewer paths that sound alike are heard better. ``jsgf``,
    ``words`` and the stepping are those of *heard*; ``understood`` steps through the other.

    Parts:
        expectation: what the step is ready to hear.
        parser: understands phrases here.
        heard, understood: steppers for decoders.
        heard_root, understood_root: names of the rules they step through.
    """

    expectation: Expectation
    parser: Parser
    heard: Acceptor
    understood: Acceptor
    _rules: Mapping[str, Expression]
    _help: Callable[[Expectation], tuple[str, ...]]
    heard_root: str = HEARD
    understood_root: str = UNDERSTOOD
    _talk: Callable[[], tuple[Searched, ...]] = tuple
    _elsewhere: Callable[[Expectation], "StepGrammar"] | None = None
    _pruned: dict[str, dict[str, Expression]] = field(default_factory=dict)

    def parse(self, text: str) -> Parsed:
        """All that ``text`` can mean here; never raises."""
        return self.parser.parse(text)

    def parse_strictly(self, text: str) -> Parsed:
        """The same by the step's own grammar alone, with no loose talk."""
        return replace(self.parser, loosely=no_loose_talk).parse(text)

    def is_known_by_a_part(self, text: str) -> bool:
        """Whether ``text`` means something only by a part of it, whatever else is said."""
        return not (self.parse_strictly(text).meanings or self._whole(text))

    def _whole(self, text: str) -> tuple[Meaning, ...]:
        def whole() -> Loosely:
            return self.loose.whole()

        return replace(self.parser, loosely=whole).parse(text).meanings

    def elsewhere(self, expectation: Expectation) -> "StepGrammar":
        """The grammar of another step, in the same language; this one where there is no other."""
        return self if self._elsewhere is None else self._elsewhere(expectation)

    @property
    def loose(self) -> Loosely:
        """What loose talk means here, by topic."""
        return self.parser.loosely()

    @property
    def manner(self) -> Manner:
        """How something is said: asked, called, told to a mate, only spoken of."""
        return self.loose.manner

    @property
    def answers(self) -> AnswerWords:
        """Yes, no, all of it, with a reserve."""
        return self.loose.answers

    @property
    def values(self) -> ValueWords:
        """Of what a value is told."""
        return self.loose.values

    @property
    def states(self) -> StateWords:
        """States of the vehicle that are told."""
        return self.loose.states

    @property
    def complaints(self) -> ComplaintWords:
        """What is told to be wrong."""
        return self.loose.complaints

    @property
    def repairs(self) -> RepairWords:
        """What is told to be done about that, and whether it works."""
        return self.loose.repairs

    @property
    def numbers(self) -> NumbersSaid:
        """Finds numbers, though the rest of what is said means nothing."""
        return NumbersSaid(self.parser)

    def is_told_here(self, text: str) -> bool:
        """Whether ``text`` is said only where just that is awaited."""
        words = cut(self.parser.in_words(text), self.parser.known)
        return self.loose.phrases.is_told_here([word for word in words if word != COMMA])

    def taken_back(self, text: str) -> tuple[str, bool]:
        """What is said behind words that put an answer right, and whether they tell that it was.

        Empty where ``text`` does not begin so: "no wait", "i said yes but", "that was a".
        """
        words = [word for word in plain_words(self.parser.in_words(text)) if word != COMMA]
        behind, of_before = self.loose.answers.taken_back(words)
        return " ".join(behind), of_before

    def jsgf(self, name: str = "step", *, everything: bool = False) -> str:
        """The heard grammar, or everything understood, as one JSGF 1.0 text without tags."""
        root = self.understood_root if everything else self.heard_root
        return to_jsgf(without_tags(self._part(root)), root, name)

    def words(self, *, everything: bool = False) -> frozenset[str]:
        """Every word of the heard grammar, or of everything understood."""
        root = self.understood_root if everything else self.heard_root
        return words_of(without_tags(self._part(root)))

    def sample(self, rng: random.Random, *, heard: bool = False) -> tuple[str, Meaning]:
        """A random phrase with a meaning it has; from the heard part only, if so asked.

        Phrases too long to be understood in one breath are not among them.
        """
        root = self.heard_root if heard else self.understood_root
        rules = self._part(root)
        while True:
            words, tags = sample(rules, root, rng)
            if len(words) > MOST_WORDS:
                continue
            phrase = " ".join(words)
            meaning = self._first(phrase) if heard else fold(tags, self.expectation.unit)
            if meaning is not None:
                return phrase, meaning

    def help(self) -> tuple[str, ...]:
        """Phrases that can be said here, the step's own first."""
        return self._help(self.expectation)

    def called(self, name: str) -> "StepGrammar":
        """The same grammar with ``name`` to be said before each phrase.

        The name alone is heard too, since the phrase may follow after a pause; it means nothing.

        Raises:
            LanguageError: ``name`` is no plain word or words, or means something itself.
        """
        check_name(name, self.parser)
        own = called_rules(name, HEARD, UNDERSTOOD)
        beside = {HEARD: self.heard.root, UNDERSTOOD: self.understood.root}
        starts = Networks.build(own, Networks(beside)).starts
        return StepGrammar(
            self.expectation,
            replace(self.parser, name=name),
            Acceptor(starts[CALLED_HEARD]),
            Acceptor(starts[CALLED_UNDERSTOOD]),
            {**self._rules, **own},
            self._help,
            CALLED_HEARD,
            CALLED_UNDERSTOOD,
            _elsewhere=self._elsewhere,
        )

    # --- stepping, for decoders that build a phrase word by word ---

    def start(self) -> State:
        """Before the first word."""
        return self.heard.start()

    def advance(self, state: State, word: str) -> State:
        """After one more word; the empty state when it cannot come here."""
        return self.heard.advance(state, word)

    def next_words(self, state: State) -> frozenset[str]:
        """The words that can come next."""
        return self.heard.next_words(state)

    def accepts(self, state: State) -> bool:
        """True when the words so far are a whole phrase."""
        return self.heard.accepts(state)

    def talk(self) -> tuple[Searched, ...]:
        """Other ways of saying that a recogniser may search where no phrase of these fits.

        Each part is a stepper, and how often it is said among all of them.
        """
        return self._talk()

    def _part(self, root: str) -> dict[str, Expression]:
        if root not in self._pruned:
            self._pruned[root] = pruned(self._rules, root)
        return self._pruned[root]

    def _first(self, phrase: str) -> Meaning | None:
        """The likeliest meaning; the heard rules have no tags, so it takes the parser."""
        return next(iter(self.parse(phrase).meanings), None)
