"""The grammar of one step: what it can be answered with, for listeners and for the parser."""

import random
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from voiceassist.errors import LanguageError
from voiceassist.language.expectation import Choice, Expectation
from voiceassist.language.export import to_jsgf
from voiceassist.language.jsgf import Expression, Optional, Ref, Word
from voiceassist.language.jsgf import Sequence as InARow
from voiceassist.language.loosely import Loosely
from voiceassist.language.meanings import Meaning, Parsed, Reading
from voiceassist.language.network import Networks
from voiceassist.language.parser import MOST_WORDS, Parser
from voiceassist.language.plainest import COMMA
from voiceassist.language.sampling import sample
from voiceassist.language.semantics import fold
from voiceassist.language.shaping import pruned, without_tags, words_of
from voiceassist.language.talk import Searched
from voiceassist.language.told_states import Around, ToldState, states_told
from voiceassist.language.walking import Acceptor, State
from voiceassist.language.words import cut

UNDERSTOOD = "phrases.understood"
HEARD = "phrases.heard"
_CALLED_HEARD, _CALLED_UNDERSTOOD = "called.heard", "called.understood"
#: So many letters tell which word it is: "turn" of "turns".
_STEM = 4
_NAME = re.compile(r"[^\W\d_]+(['’-][^\W\d_]+)*( [^\W\d_]+(['’-][^\W\d_]+)*)*")


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
        return replace(self.parser, loosely=Loosely).parse(text)

    def is_known_by_a_part(self, text: str) -> bool:
        """Whether ``text`` means something only by a part of it, whatever else is said."""
        return not (self.parse_strictly(text).meanings or self._whole(text))

    def _whole(self, text: str) -> tuple[Meaning, ...]:
        return (
            replace(self.parser, loosely=lambda: self.parser.loosely().whole()).parse(text).meanings
        )

    def elsewhere(self, expectation: Expectation) -> "StepGrammar":
        """The grammar of another step, in the same language; this one where there is no other."""
        return self if self._elsewhere is None else self._elsewhere(expectation)

    def taken_back(self, text: str) -> tuple[str, bool]:
        """What is said behind words that put an answer right, and whether they tell that it was.

        Empty where ``text`` does not begin so: "no wait", "i said yes but", "that was a".
        """
        words = [word for word in cut(self.parser.in_words(text), frozenset()) if word != COMMA]
        behind, of_before = self.parser.loosely().taken_back(words)
        return " ".join(behind), of_before

    def shares(self, text: str, other: str) -> bool:
        """Whether a word that tells what ``text`` is about is one of ``other`` too."""
        return bool(self._stems(text) & self._stems(other))

    def _stems(self, text: str) -> frozenset[str]:
        loosely = self.parser.loosely()
        nothing = loosely.lightly | loosely.between | loosely.denial | loosely.asking | {COMMA}
        words = frozenset(cut(text, frozenset())) - nothing
        return frozenset(word[:_STEM] for word in words if len(word) >= _STEM - 1)

    def denies(self, text: str) -> bool:
        """Whether there is a word in ``text`` by which something is not wanted."""
        return bool(self.parser.loosely().denial & set(cut(text, frozenset())))

    def asks(self, text: str) -> bool:
        """Whether ``text`` begins as a question does, or was typed with its mark."""
        begins = self.parser.loosely().asks(cut(text, frozenset()))
        return begins or text.rstrip().endswith("?")

    def hails(self, text: str) -> bool:
        """Whether ``text`` begins as one does who speaks to the assistant."""
        return self.parser.loosely().hails(cut(text, frozenset()))

    def complains(self, text: str) -> bool:
        """Whether ``text`` tells what is wrong with a thing, or that somebody says so."""
        return self.parser.loosely().complains(cut(text, frozenset()))

    def points_out(self, text: str) -> bool:
        """Whether ``text`` begins by naming what it is: "it's the left indicator"."""
        return self.parser.loosely().points_out(cut(text, frozenset()))

    def is_off_meter(self, text: str) -> bool:
        """Whether ``text`` tells something of what is no meter, and what none shows."""
        return self.parser.loosely().is_off_meter(cut(text, frozenset()))

    def is_of_somebody(self, text: str) -> bool:
        """Whether ``text`` speaks of what is somebody's: "my savings"."""
        return self.parser.loosely().is_of_somebody(cut(text, frozenset()))

    def tells_works(self, text: str) -> bool | None:
        """Whether ``text`` tells, behind its last comma, that what was mended works; else None."""
        return self.parser.loosely().tells_works(cut(text.rsplit(",", maxsplit=1)[-1], frozenset()))

    def is_mended(self, text: str) -> bool:
        """Whether ``text`` tells that something is mended already."""
        return self.parser.loosely().is_mended(cut(text, frozenset()))

    def tells_fault(self, text: str) -> bool:
        """Whether ``text`` names a thing, and tells that it is broken or that it is mended."""
        return self.parser.loosely().tells_fault(cut(text, frozenset()))

    def complaint_in(self, text: str) -> tuple[str, ...]:
        """The complaint that is told in ``text``, with less and less around it."""
        loosely = self.parser.loosely()
        told = list(loosely.complaint_in(cut(text, frozenset())))
        return tuple(" ".join(each) for each in loosely.plainer(told))

    def tells_a_mate(self, text: str) -> bool:
        """Whether somebody at the other end is told in ``text`` what to do."""
        words = [word for word in cut(text, frozenset()) if word != COMMA]
        return self.parser.loosely().tells_a_mate(words)

    def is_told_here(self, text: str) -> bool:
        """Whether ``text`` is said only where just that is awaited."""
        words = cut(self.parser.in_words(text), self.parser.known)
        return self.parser.loosely().is_told_here([word for word in words if word != ","])

    def is_as_it_works(self, text: str) -> bool:
        """Whether ``text`` tells how a thing works, or that all is well, and no more."""
        return self.parser.loosely().is_as_it_works(cut(text, frozenset()))

    def is_aside(self, text: str) -> bool:
        """Whether ``text`` speaks of something, and does not tell that it is so here and now."""
        return self.parser.loosely().is_aside(cut(text, frozenset()))

    def has_saying(self, text: str) -> bool:
        """Whether there is a saying in ``text`` of which no part counts: "dead right"."""
        return self.parser.loosely().has_saying(cut(text, frozenset()))

    def is_of_another(self, text: str) -> bool:
        """Whether a number in ``text`` is by name the value of something else."""
        return self.parser.loosely().is_of_another(cut(text, frozenset()))

    def is_of_this(self, text: str) -> bool:
        """Whether a number in ``text`` is by name the value of the step."""
        return self.parser.loosely().is_of_this(cut(text, frozenset()))

    def values_of(self, text: str) -> tuple[str, ...]:
        """What ``text`` tells a value of, by name: steps and test points."""
        loosely, words = self.parser.loosely(), cut(self.parser.in_words(text), frozenset())
        return tuple(
            choice.name
            for choice in self.expectation.names
            if any(loosely.is_value_of(words, way.split()) for way in choice.phrases)
        )

    def counts_only(self, text: str) -> bool:
        """Whether all figures in ``text`` number or count something else than a value."""
        loosely, words = self.parser.loosely(), cut(self.parser.in_words(text), frozenset())
        return bool(loosely.figures & set(words)) and not loosely.values_at(words)

    def states_told(
        self, text: str, named: Sequence[Choice], bare: Sequence[Choice]
    ) -> tuple[tuple[ToldState, ...], str]:
        """The states that ``text`` tells, and what else is in it that carries something."""
        loosely, words = self.parser.loosely(), cut(text, frozenset())
        around = Around(
            loosely.lightly,
            loosely.denial,
            loosely.no_setting,
            loosely.figures,
            loosely.place,
            loosely.between | {COMMA},
        )
        told = states_told(words, named, bare, around)
        taken = {at for one in told for at in range(one.start, one.end)}
        left = [word for at, word in enumerate(words) if at not in taken]
        nothing = loosely.lightly | loosely.between | loosely.hesitation | {COMMA}
        full = [at for at, word in enumerate(left) if word not in nothing]
        return told, " ".join(left[full[0] : full[-1] + 1]) if full else ""

    def states_not_made(self, text: str, named: Sequence[Choice]) -> tuple[ToldState, ...]:
        """The states of which ``text`` tells that they were not brought about."""
        loosely, words = self.parser.loosely(), cut(text, frozenset())
        if not loosely.tells_not_made(words):
            return ()
        return states_told(words, named, (), Around(loosely.lightly))

    def tells_before(self, text: str) -> bool:
        """Whether ``text`` tells how the vehicle was when it was read last."""
        return self.parser.loosely().tells_before(cut(text, frozenset()))

    def tells_forgotten(self, text: str) -> bool:
        """Whether ``text`` tells that something was forgotten."""
        return self.parser.loosely().tells_forgotten(cut(text, frozenset()))

    def is_unlit(self, text: str) -> bool:
        """Whether ``text`` tells that the test lamp is out."""
        return self.parser.loosely().is_unlit(cut(text, frozenset()))

    def told_of_it(self, text: str) -> str:
        """The state that ``text`` tells at its end without its name; empty without."""
        loosely, words = self.parser.loosely(), cut(text, frozenset())
        return "" if loosely.denial & set(words) else " ".join(loosely.behind_it(words))

    def reserves(self, text: str) -> bool:
        """Whether there is a word in ``text`` by which something is taken back."""
        return bool(self.parser.loosely().reserving & set(cut(text, frozenset())))

    def is_unheeding(self, text: str) -> bool:
        """Whether by the words of ``text`` one may not do as a caution says: it tells of others."""
        loosely, words = self.parser.loosely(), set(cut(text, frozenset()))
        nothing = loosely.unheeding | loosely.reserving | loosely.denial
        so = loosely.of_himself & words or any(word.endswith("'s") for word in words)
        return bool(nothing & words) or not so

    def behind_reserve(self, text: str) -> str:
        """What is said behind the last word by which something is taken back; empty without."""
        words = cut(text, frozenset())
        at = [n for n, word in enumerate(words) if word in self.parser.loosely().reserving]
        return " ".join(words[at[-1] + 1 :]) if at else ""

    def numbers_in(self, text: str) -> tuple[Reading, ...]:
        """The numbers in ``text``, though the rest of it means nothing."""
        return self.parser.numbers_in(text)

    def either_way(self, text: str) -> tuple[Reading, ...]:
        """The numbers in ``text``; two digits said one by one with a point between them as well."""
        return replace(self.parser, either=True).numbers_in(text)

    def names_unit(self, text: str) -> bool:
        """Whether there is the word of a unit in ``text``."""
        words = cut(self.parser.in_words(text), frozenset())
        return bool(self.parser.loosely().measures & set(words))

    def is_rough(self, text: str) -> bool:
        """Whether there is a word in ``text`` by which a number is only about right."""
        return bool(self.parser.loosely().roughly & set(cut(text, frozenset())))

    def is_as_it_should(self, text: str) -> bool:
        """Whether there is a word in ``text`` that may tell what should be, and not what is."""
        return bool(self.parser.loosely().as_it_should & set(cut(text, frozenset())))

    def affirms(self, text: str) -> bool:
        """Whether there is a word in ``text`` by which it is a yes."""
        return bool(self.parser.loosely().affirming & set(cut(text, frozenset())))

    def is_of_all(self, text: str) -> bool:
        """Whether there is a word in ``text`` by which all is meant that was asked for."""
        return bool(self.parser.loosely().of_all & set(cut(text, frozenset())))

    def tells_work(self, text: str) -> bool:
        """Whether ``text`` tells what was found or done in a repair, and asks nothing."""
        words = set(cut(text, frozenset()))
        return bool(self.parser.loosely().repairing & words) and not self.asks(text)

    def leaves_undone(self, text: str) -> bool:
        """Whether by a word of ``text`` not all that was asked for may be done."""
        return bool(self.parser.loosely().undone & set(cut(text, frozenset())))

    def is_of_work(self, text: str) -> bool:
        """Whether there is a word in ``text`` that tells how a thing works."""
        return bool(self.parser.loosely().of_work & set(cut(text, frozenset())))

    def amended_in(self, text: str) -> tuple[Reading, ...]:
        """The numbers behind the last word by which another is taken back."""
        return self.parser.amended_in(text)

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
        _check_name(name, self.parser)
        words = tuple(map(Word, name.split()))
        own = {
            _CALLED_HEARD: InARow((*words, Optional(Ref(HEARD)))),
            _CALLED_UNDERSTOOD: InARow((*words, Optional(Word(",")), Ref(UNDERSTOOD))),
        }
        beside = {HEARD: self.heard.root, UNDERSTOOD: self.understood.root}
        starts = Networks.build(own, Networks(beside)).starts
        return StepGrammar(
            self.expectation,
            replace(self.parser, name=name),
            Acceptor(starts[_CALLED_HEARD]),
            Acceptor(starts[_CALLED_UNDERSTOOD]),
            {**self._rules, **own},
            self._help,
            _CALLED_HEARD,
            _CALLED_UNDERSTOOD,
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


def _check_name(name: str, parser: Parser) -> None:
    if not _NAME.fullmatch(name) or name != name.lower():
        raise LanguageError(
            f"{name!r} cannot be a name to call", remedy="use one or two plain words, lower-case"
        )
    if parser.parse(name).meanings:
        raise LanguageError(
            f"{name!r} cannot be a name to call: it already means something",
            remedy="use another word, such as 'helper'",
        )
