"""Rehearsals by voice alone, to the mark: ``rehearsals_by_voice.py --folder FOLDER``.

A new trainee does each of three procedures twice, led by the procedure and free. What he says is
spoken by a synthesiser, heard by the listener within all that can be said there, and answered by
the real loop. He does what he is told, says what the meter shows, and says a thing again, or in
other words, when it was not taken. Counted are

    said       utterances
    first      of these, taken as meant the first time they were said
    asked      it was asked whether, or which, or to say it again
    wrong      taken for something else
    mark       points at the end; nothing where the mark was not reached

Under each stand the phrases that were not taken at first, with what was heard, and then the mark
as it was spoken.
"""

import argparse
import random
import sys
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from benchmarks.hearing.sounds import SNR_DB, Setting, recorded
from benchmarks.hearing.voices import Studio

from voiceassist.app import build
from voiceassist.app.desk.prove import setup_of
from voiceassist.app.ears.base import Elapsed, Utterance
from voiceassist.app.ears.hearing import Hearing
from voiceassist.app.live.loop import Loop
from voiceassist.app.live.parts import Parts
from voiceassist.app.mouth.mouth import Mouth
from voiceassist.app.progress import no_progress
from voiceassist.app.rehearsal.asked import Mode, Settled
from voiceassist.app.rehearsal.beginning import as_led, begin
from voiceassist.app.rehearsal.rehearsal import Rehearsal
from voiceassist.app.settings.settings import Settings
from voiceassist.circuit.model import Probe, Shows
from voiceassist.language.codec import to_json
from voiceassist.language.language import Language
from voiceassist.language.meanings import Answer, Lamp, Meaning, OverRange, Reading
from voiceassist.language.step import StepGrammar
from voiceassist.measure.quantity import Quantity
from voiceassist.procedure.model import Kind, Need, Step
from voiceassist.reason.infer import Seen
from voiceassist.reason.order import SURE
from voiceassist.reason.sampling import OVER
from voiceassist.record.lines import Heard, MarkGiven
from voiceassist.rehearse.acts import Act
from voiceassist.rehearse.marks import Strictness
from voiceassist.rehearse.tested import seen_in
from voiceassist.session.actions.enter import unmade
from voiceassist.session.actions.forgotten import asked_about
from voiceassist.session.engine import Engine
from voiceassist.session.outputs import ConditionChange
from voiceassist.session.session import Session
from voiceassist.session.states import State
from voiceassist.testing import FixedTimeline, MemoryKeeper

#: Procedure, its fault or else the first of its file, and the voice of its trainee.
REHEARSED = (
    ("heater-fan-module", "module-stuck-fast", "espeak en-us"),
    ("relay-and-socket", "", "flite slt"),
    ("relay-and-socket", "contacts-burnt", "flite slt"),
    ("dim-headlamp", "", "flite awb"),
    ("dim-headlamp", "earth-joint-rusty", "flite awb"),
)
SEED, MOST_SAID, MOST_TRIES = 7, 200, 3
#: What is said where one plain answer is awaited.
_PLAIN = {
    State.CONDITION: "done",
    State.PUT_BACK: "done",
    State.DO: "done",
    State.CAUTION: "affirm",
    State.OFFER: "affirm",
    State.RETRY: "negative",
    State.FINISH: "affirm",
    State.AFTER: "finish",
}
#: It is asked whether something was heard right.
_ASKED = frozenset({State.CONFIRM, State.WHICH, State.MEANT})
_TESTED = {Shows.VOLTAGE: "voltage", Shows.RESISTANCE: "resistance", Shows.LAMP: "test lamp"}
#: Asked once each, after so many tests.
_QUESTIONS = {2: "how sure is it", 3: "what would you measure next"}


class Trainee:
    """Says the next thing.

    Args:
        practised: his rehearsal.
        language: has the words.
    """

    def __init__(self, practised: Rehearsal, language: Language) -> None:
        self.practised = practised
        self._language = language
        self._procedure = practised.setup.procedure
        self._read_at = -1  # how many acts there were when the meter was read last
        self._told: Meaning | None = None  # what he read last, as he means it
        self.meant: list[object] = []  # what he said last means, but for answers to questions back
        self.in_other_words = False
        self._prompt: object = None
        self._since = 0
        self._tests = self._planned()

    @property
    def _acts(self) -> list[Act]:
        return self.practised.bench.acts

    def says(self, session: Session) -> str | None:
        """The next thing said; None to let a wait pass."""
        if session.state is State.WAIT:
            return None
        if self.practised.settled.mode is Mode.FREE and session.state is State.ASK:
            return next(self._tests)
        if session.state in _ASKED:
            return self._answers(session)
        if (need := self._to_change(session)) is not None:
            other = f"{need.condition} to {need.state}"
            return other if self.in_other_words else need.instruction.lower()
        return self._plain(session) or self._led(session)

    def _answers(self, session: Session) -> str:
        """What is said to a question whether it was heard right: his own words are known to him."""
        if session.state is State.MEANT:
            return "affirm"
        told = self._told
        if session.state is State.WHICH and told is not None:
            return self._digit_by_digit(told)
        heard = session.pending[0] if session.state is State.CONFIRM else None
        right = heard is not None and (to_json(heard) in self.meant or _alike(heard, told))
        return "affirm reading" if right else "negative"

    def again(self, words: str, *, wrong: bool) -> str:
        """What was said is said once more: a value as it was asked for, digit by digit.

        One that was taken ``wrong`` is corrected.
        """
        told = self._told
        if not isinstance(told, Reading):
            return words
        singly = self._digit_by_digit(told)
        if words not in {self._language.say(told), singly, f"correction {singly}"}:
            return words
        return f"correction {singly}" if wrong else singly

    def _digit_by_digit(self, told: Meaning) -> str:
        return self._language.say(told, singly=isinstance(told, Reading))

    def _plain(self, session: Session) -> str:
        """The plain answer where one is awaited; else empty."""
        if session.state is State.FORGOTTEN:
            needs = asked_about(self.practised.setup, session)
            return "affirm" if all(map(self._holds, needs)) else "negative"
        return _PLAIN.get(session.state, "")

    # --- led ---

    def _to_change(self, session: Session) -> Need | None:
        """The next change that was asked for; None once all are made, in their order."""
        asked_for = {State.CONDITION, State.PUT_BACK, State.DO}
        if session.state not in asked_for and not unmade(self.practised.setup, session):
            return None
        if session.prompt is not self._prompt:
            self._prompt, self._since = session.prompt, len(self._acts)
        wanted = [o for o in session.prompt if isinstance(o, ConditionChange)]
        for act in self._acts[self._since :]:
            if wanted and (act.wish.one, act.wish.other) == (wanted[0].name, wanted[0].state):
                wanted.pop(0)
        for one in wanted:
            words = self._procedure.conditions[one.name][one.state]
            if not self._holds(need := Need(one.name, one.state, words)):
                return need
        return None

    def _holds(self, need: Need) -> bool:
        return self.practised.bench.vehicle.conditions.get(need.condition) == need.state

    def _led(self, session: Session) -> str:
        """Reads the meter, and then says what it shows."""
        step = self._procedure.step(session.step)
        if self._read_at != len(self._acts) or not self._acts[-1].test:
            self._read_at = len(self._acts) + 1
            if step.kind is Kind.ASK:
                return "what do i see" if self.in_other_words else step.question.lower()
            return "what does the lamp do" if step.kind is Kind.LAMP else "read the meter"
        self._told = shown(self._acts[-1], step)
        own = [r.phrases[0] for r in step.replies if r.phrases and r.name == _word(self._acts[-1])]
        self._read_at = -1
        return own[0] if own else self._language.say(self._told)

    # --- free ---

    def _planned(self) -> Iterator[str]:
        """The tests of the file in its order, each after what it needs, until he is sure."""
        table = self.practised.adviser.samples
        met = dict.fromkeys(place.step for place in table.places)
        for done, name in enumerate(filter(self._can_be_said, met)):
            if done in _QUESTIONS:
                yield _QUESTIONS[done]
            place = next(each for each in table.places if each.step == name)
            lasting = [n for n in self._procedure.step(name).needs if not n.momentary]
            states = dict(place.states) | {n.condition: n.state for n in lasting}
            yield from self._bringing(states)
            yield self._test(self._procedure.step(name))
            finding, share = self._believed()
            if share >= SURE and finding in self._procedure.findings:
                yield f"it is the {finding.replace('-', ' ')}"
        likeliest = self._believed()[0]
        while True:
            yield f"it is the {likeliest.replace('-', ' ')}"

    def _bringing(self, wanted: Mapping[str, str]) -> Iterator[str]:
        """What has to be so before another is changed comes first."""
        for condition, state in sorted(wanted.items(), key=lambda one: one[0] not in self._guards):
            if self.practised.bench.vehicle.conditions.get(condition) == state:
                continue
            for need in self._guards.get(condition, ()):
                if not self._holds(need):
                    yield need.instruction.lower()
            yield self._procedure.conditions[condition][state].lower()
        for condition, state in wanted.items():
            if self.practised.bench.vehicle.conditions.get(condition) != state:
                yield self._procedure.conditions[condition][state].lower()

    @property
    def _guards(self) -> dict[str, tuple[Need, ...]]:
        return dict(self._procedure.before_changing)

    def _can_be_said(self, step: str) -> bool:
        """A current between two places is read by a step alone."""
        circuit = self._procedure.circuit
        probe = circuit.probes.get(step) if circuit is not None else None
        return probe is None or bool(probe.through) or probe.shows in _TESTED

    def _test(self, step: Step) -> str:
        circuit = self._procedure.circuit
        probe = circuit.probes.get(step.name) if circuit is not None else None
        return spoken_test(probe) if probe is not None else step.question.lower()

    def _believed(self) -> tuple[str, float]:
        adviser = self.practised.adviser
        seen: dict[int, Seen] = {}
        for act in self._acts:
            if (one := seen_in(adviser, act)) is not None:
                seen[one.place] = one
        return adviser.belief(list(seen.values())).ranked[0]


def spoken_test(probe: Probe) -> str:
    """A test in a trainee's words."""
    if probe.through:
        return f"current in {probe.through}".lower()
    return f"{_TESTED[probe.shows]} from {probe.red} to {probe.black}".lower()


def shown(act: Act, step: Step) -> Meaning:
    """What the vehicle or the meter answered, to be told again."""
    assert act.test is not None
    what = act.test.sight
    if what.number is None:
        if what.word == OVER:
            return OverRange()
        return Answer(what.word) if step.kind is Kind.ASK else Lamp(what.word)
    read = Quantity.parse(act.told.split(" shows ")[-1].split("find: ")[-1].removesuffix("."))
    return Reading(Decimal(read.value), read.unit)


def _alike(heard: Meaning, told: Meaning | None) -> bool:
    """Whether the same was read; of a bare number the unit is the step's own."""
    if isinstance(heard, Reading) and isinstance(told, Reading) and heard.unit is None:
        return heard.value == told.value
    return heard == told


def _word(act: Act) -> str:
    return act.test.sight.word if act.test is not None else ""


# --- by sound ---


@dataclass(slots=True)
class Told:
    """What some rehearsals came to, and the phrases that were not taken at first."""

    said: int = 0
    first: int = 0
    asked: int = 0
    wrong: int = 0
    points: list[int] = field(default_factory=list)
    missed: list[str] = field(default_factory=list)

    def row(self, title: str) -> str:
        """A line of the table."""
        share = f"{self.first / max(1, self.said):.0%}"
        marks = " ".join(map(str, self.points)) or "none"
        counts = f"{self.said:6} {self.first:6} {share:>5} {self.asked:6} {self.wrong:6}"
        return f"{title:60} {counts}  {marks}"


@dataclass(frozen=True, slots=True)
class Room:
    """Where it is done: the program, who hears, who speaks, how loud it is."""

    shop: build.Components
    hearing: Hearing
    studio: Studio
    level: str


class Spoken:
    """Ears of the loop: the trainee says it aloud, and the listener hears it."""

    def __init__(self, trainee: Trainee, room: Room, voice: str) -> None:
        self.trainee, self.told = trainee, Told()
        self.loop: Loop | None = None
        self.keeper = MemoryKeeper()
        self._room, self._voice = room, voice
        self._rng = random.Random(voice)
        self._said, self._unheard = "", ""
        self._tries, self._wrong = 0, False
        self._meant: list[object] = []

    def expect(self, grammars: Iterable[StepGrammar]) -> None:
        """Nobody waits for the next answer."""

    def listen(
        self, grammar: StepGrammar, until_s: float | None = None
    ) -> Utterance | Elapsed | None:
        """The next thing said; None when he gives up."""
        assert self.loop is not None
        self.score()
        if self.told.said >= MOST_SAID:
            return None
        words = self._words(self.loop.session)
        if words is None:
            self._meant = []
            return Elapsed()
        self._meant = [to_json(meaning) for meaning in grammar.parse(words).meanings]
        if self.loop.session.state not in _ASKED:
            self.trainee.meant = self._meant
        self.told.said += 1
        return self._heard(words, grammar)

    def _words(self, session: Session) -> str | None:
        """The same again where it was not taken, or in other words; else what comes next."""
        if session.state not in _ASKED and self._unheard and self._tries < MOST_TRIES:
            self._said = self._unheard = self.trainee.again(self._unheard, wrong=self._wrong)
            return self._said
        self.trainee.in_other_words = bool(self._unheard)
        said = self.trainee.says(session)
        if session.state not in _ASKED:
            self._unheard = ""
        self._said = said or ""
        return said

    def _heard(self, words: str, grammar: StepGrammar) -> Utterance:
        how = Setting(self._voice, "normal", "room", False, -24.0, self._rng.getrandbits(32))
        room = self._room
        aloud = words.replace("lead", "leed")  # which some voices would say as the metal
        speech = room.studio.spoken(aloud, how.voice, how.rate)
        clip = recorded(speech, how, "kept", room.level, room.studio)
        room.hearing.prepare(grammar)
        heard = room.hearing.hear(clip)
        return Utterance(
            heard.words, (), heard.nothing, certain=False, start_s=0, end_s=0,
            listener=room.hearing.name, clip=clip, judgement=heard,
        )  # fmt: skip

    def score(self) -> None:
        """Count whether the last thing said was taken as meant."""
        words, meant = self._said, self._meant
        self._meant = []
        if not meant:
            return
        line = Heard([each for each in self.keeper.lines if each["event"] == "heard"][-1])
        taken = list(line.meanings)
        if "wish " in str(meant):  # a wish is done though it is doubtful, and told
            taken, sure = taken[:1], True
        else:
            sure = not line.doubtful
        if taken == meant and sure:
            self.told.first += not self._unheard
            self._unheard = self._unheard if words == "negative" else ""
            return
        kind = "asked" if not taken or line.doubtful else "wrong"
        self._wrong = kind == "wrong"
        self.told.asked += kind == "asked"
        self.told.wrong += kind == "wrong"
        heard = line.words or line.reason or "nothing"
        self.told.missed.append(f"{kind}: {words!r} heard as {heard!r}")
        self._tries = self._tries + 1 if words == self._unheard else 1
        self._unheard = words

    def close(self) -> None:
        """Nothing is held."""


def rehearse(room: Room, name: str, settled: Settled, voice: str) -> tuple[Told, str]:
    """One rehearsal, and its mark as it was spoken."""
    shop, written = room.shop, build.procedure(name)
    practised = begin(settled, setup_of(written.procedure, shop), written, shop, no_progress)
    setup = setup_of(as_led(settled, written).procedure, shop)
    ears = Spoken(Trainee(practised, shop.language), room, voice)
    timeline = FixedTimeline()
    mouth = Mouth(None, shop.to_words, None, timeline, lambda _: None)
    parts = Parts(Engine(setup), shop.language, ears, mouth, ears.keeper, timeline, lambda _: None)
    parts = replace(parts, beside=practised, adviser=practised, guesser=shop.guesser)
    loop = ears.loop = Loop(parts)
    for line in practised.opening():
        loop.announce(line)
    loop.begin({})
    loop.run()
    ears.score()
    marks = [MarkGiven(line) for line in ears.keeper.lines if line["event"] == "mark"]
    ears.told.points += [int(str(one["points"])) for one in marks]
    return ears.told, shop.to_words(str(marks[-1]["text"])) if marks else ""


def main() -> None:
    options = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    options.add_argument("--folder", type=Path, required=True, help="keeps the spoken phrases")
    options.add_argument("--level", choices=SNR_DB, default="quiet")
    options.add_argument("--voice", default="", help="for all, such as 'flite slt'")
    options.add_argument("--only", nargs="*", default=[], help="some of the procedures")
    options.add_argument("--mode", choices=[mode.value for mode in Mode], default="")
    given = options.parse_args()
    shop = build.Components(Settings())
    room, every = Room(shop, shop.hearing(), Studio(given.folder), given.level), Told()
    print(f"{'':60} {'said':>6} {'first':>6} {'':5} {'asked':>6} {'wrong':>6}  mark")
    for name, fault, voice in REHEARSED:
        if given.only and name not in given.only:
            continue
        for mode in [Mode(given.mode)] if given.mode else Mode:
            faults = build.procedure(name).procedure.faults
            settled = Settled(mode, fault or next(iter(faults)), SEED, Strictness.MILD)
            speaker = given.voice or voice
            told, mark = rehearse(room, name, settled, speaker)
            print(told.row(f"{name} {settled.fault} {mode} {speaker}"), flush=True)
            for missed in told.missed:
                print(f"    {missed}")
            print(f"    {mark or 'no mark'}", flush=True)
            every.said += told.said
            every.first += told.first
            every.asked += told.asked
            every.wrong += told.wrong
            every.points += told.points
    print(every.row("all"))


if __name__ == "__main__":
    main()
