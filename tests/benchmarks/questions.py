"""What a technician feels of the listener: ``questions.py --folder FOLDER [--listener NAME]``.

Simulated technicians do whole jobs by sound: what they say is spoken by kept-out voices, mixed
with kept-out noise, heard by the listener within the grammar of the step, and answered by the
real loop. Counted are answers, questions (asked about, or to be said again), values taken
wrongly, wrong verdicts and findings, and minutes, the assistant speaking 160 words a minute.

A technician who is asked whether a value was heard right says so, or says it again digit by
digit; he hears the echo of a wrong value and corrects it, which counts as one taken wrongly.
"""

import argparse
import random
import sys
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from benchmarks.hearing import noises
from benchmarks.hearing.sounds import SNR_DB, Setting, recorded
from benchmarks.hearing.voices import Studio
from technicians import Person
from whole_jobs import Mender, vehicles

from voiceassist.app import build
from voiceassist.app.desk.prove import desk_of
from voiceassist.app.ears.base import Elapsed, Utterance
from voiceassist.app.ears.hearing import Hearing
from voiceassist.app.live.loop import Loop, Parts
from voiceassist.app.mouth.mouth import Mouth
from voiceassist.app.settings.settings import Settings
from voiceassist.language.meanings import Meaning, Reading
from voiceassist.language.step import StepGrammar
from voiceassist.prove.outcome import right_findings
from voiceassist.session.engine import Engine
from voiceassist.session.events import TimeUp
from voiceassist.session.session import Result, Session
from voiceassist.session.states import State
from voiceassist.testing import FixedTimeline, MemoryKeeper

#: Procedure and fault of the five jobs.
JOBS = {
    "heater-fan-module": "module-stuck-fast",
    "key-off-draw": "lid-switch-stuck",
    "can-termination": "front-end-open",
    "no-charging": "diodes-burnt",
    "trailer-socket": "brown-wire-broken",
}
#: Voices that nothing was trained, fitted or chosen on.
VOICES = ("flite awb", "flite kal", "flite kal16", "espeak en-gb")
WORDS_A_MINUTE, PAUSE_S = 160, 0.66
MOST_SAID = 150


@dataclass(slots=True)
class Feel:
    """What the jobs at one level of noise came to."""

    jobs: int = 0
    answers: int = 0
    questions: int = 0
    wrong_values: int = 0
    wrong_verdicts: int = 0
    wrong_findings: list[str] = field(default_factory=list)
    still_open: list[str] = field(default_factory=list)
    minutes: float = 0.0


class Patient(Person):
    """Listens to what was understood, and puts it right."""

    feel: Feel
    _asked_for: Meaning | None = None
    _seen = 0
    _again = False

    def says(self, session: Session) -> str | TimeUp:
        wrong = self._wrongly_taken(session)
        if wrong is not None:
            return f"correction {self._language.say(wrong, singly=True)}"
        said = self.mender.said
        if session.state in {State.CONFIRM, State.WHICH} and said is not None:
            self.feel.questions += 1
            if session.state is State.CONFIRM and _same(session.pending[0], said):
                return "affirm reading"
            self._again = not self._again  # once more in digits, then begin anew
            return self._language.say(said, singly=True) if self._again else "negative"
        self.feel.questions += session.misses > 0
        self.feel.answers += session.misses == 0
        return super().says(session)

    def _wrongly_taken(self, session: Session) -> Reading | None:
        """What was said, where another value was taken last."""
        taken, said = _last_reading(session), self.mender.said
        fresh = len(session.ledger) > self._seen
        self._seen = len(session.ledger)
        if not fresh or taken is None or not isinstance(said, Reading):
            return None
        if _same(taken.meaning, said):
            return None
        self.feel.wrong_values += 1
        return said


def _last_reading(session: Session) -> Result | None:
    last = session.ledger[-1] if session.ledger else None
    return last if last is not None and isinstance(last.meaning, Reading) else None


def _same(one: Meaning | None, other: Meaning) -> bool:
    if not (isinstance(one, Reading) and isinstance(other, Reading)):
        return one == other
    a, b = one.unit or other.unit, other.unit or one.unit
    if a is None or b is None:
        return one.value == other.value
    return a.to_base(one.value) == b.to_base(other.value)


class Overheard:
    """Ears of the loop: the technician says it aloud, in noise, and the listener hears it."""

    def __init__(self, person: Patient, hearing: Hearing, studio: Studio, level: str) -> None:
        self.person = person
        self.loop: Loop | None = None
        self.heard_s = 0.0
        self._hearing, self._studio, self._level = hearing, studio, level
        self._rng = random.Random(f"{level} {person.mender.desk.procedure.name}")
        self._said = 0

    def expect(self, grammars: Iterable[StepGrammar]) -> None:
        """Nobody waits for the next answer."""

    def listen(
        self, grammar: StepGrammar, until_s: float | None = None
    ) -> Utterance | Elapsed | None:
        """The next thing said; None when he gives up."""
        assert self.loop is not None
        self._said += 1
        if self._said > MOST_SAID:
            return None
        said = self.person.says(self.loop.session)
        if isinstance(said, TimeUp):
            return Elapsed()
        how = Setting(
            voice=self.person.voice,
            rate=self._rng.choice(("normal", "normal", "slow", "fast")),
            noise="room" if self._level == "quiet" else self._rng.choice(noises.KINDS),
            echo=self._rng.random() < 0.25,
            speech_dbfs=-24.0,
            seed=self._rng.getrandbits(32),
        )
        speech = self._studio.spoken(said, how.voice, how.rate)
        clip = recorded(speech, how, "kept", self._level, self._studio)
        self.heard_s += clip.seconds + PAUSE_S
        self._hearing.prepare(grammar)
        judgement = self._hearing.hear(clip)
        words = judgement.words
        return Utterance(
            words,
            (),
            judgement.nothing,
            certain=False,
            start_s=0,
            end_s=0,
            listener=self._hearing.name,
            clip=clip,
            judgement=judgement,
        )

    def close(self) -> None:
        """Nothing is held."""


@dataclass(frozen=True, slots=True)
class Bay:
    """Where the jobs are done: who hears, who speaks, how loud it is."""

    shop: build.Components
    hearing: Hearing
    studio: Studio
    level: str


def play(bay: Bay, name: str, voice: str, feel: Feel) -> None:
    """One job by sound."""
    shop, level = bay.shop, bay.level
    desk = desk_of(build.procedure(name).procedure, shop)
    seed = VOICES.index(voice) + 1
    made = vehicles(desk, JOBS[name], seed)
    mender = Mender(desk, made.bad, made.good, made.hand)
    person = Patient(mender, shop.language, random.Random(seed))
    person.voice, person.feel = voice, feel
    ears, timeline = Overheard(person, bay.hearing, bay.studio, level), FixedTimeline()
    keeper = MemoryKeeper()
    mouth = Mouth(None, shop.to_words, None, timeline, lambda _: None)
    parts = Parts(Engine(desk), shop.language, ears, mouth, keeper, timeline, lambda _: None)
    loop = ears.loop = Loop(parts)
    loop.begin({})
    outcome = loop.run()
    words = sum(len(shop.to_words(str(line.get("text", ""))).split()) for line in keeper.lines)
    feel.jobs += 1
    feel.minutes += words / WORDS_A_MINUTE + ears.heard_s / 60
    title = f"{level} {name} {voice}"
    if not outcome:
        feel.still_open.append(title)
    elif loop.session.finding not in right_findings(desk.procedure, JOBS[name]):
        feel.wrong_findings.append(f"{title}: {loop.session.finding or 'none'}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--folder", type=Path, required=True, help="keeps the spoken phrases")
    parser.add_argument("--listener", default="")
    parser.add_argument("--levels", default=",".join(SNR_DB))
    parser.add_argument("--voices", default=",".join(VOICES))
    parser.add_argument("--jobs", default=",".join(JOBS))
    chosen = parser.parse_args()
    shop = build.Components(Settings(**({"listener": chosen.listener} if chosen.listener else {})))
    hearing, studio = shop.hearing(), Studio(chosen.folder)
    print(f"listener {hearing.name}")
    print(" level  jobs answers questions wrong  findings open minutes")
    for level in chosen.levels.split(","):
        feel = Feel()
        for name in chosen.jobs.split(","):
            for voice in chosen.voices.split(","):
                play(Bay(shop, hearing, studio, level), name, voice, feel)
        print(
            f"{level:>6} {feel.jobs:5} {feel.answers:7} {feel.questions:9} {feel.wrong_values:5} "
            f"{len(feel.wrong_findings):9} {len(feel.still_open):4} "
            f"{feel.minutes / feel.jobs:7.1f}",
            *feel.wrong_findings,
            *feel.still_open,
            sep="\n    ",
            flush=True,
        )


if __name__ == "__main__":
    main()
