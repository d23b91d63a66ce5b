"""What a technician feels of the listener: ``questions.py --folder FOLDER [--listener NAME]``.

Simulated technicians do whole jobs by sound: what they say is spoken by kept-out voices, mixed
with kept-out noise, heard by the listener within the grammar of the step, and answered by the
real loop. Counted are

    answers    what was understood at once
    repeats    of what was not understood, and is said again
    questions  whether it was heard right, or which of two it was
    mends      what he says to put right what was taken wrongly, and of which step it is
    wrong      values, lamps and answers taken for others
    verdicts   of these, how many led to another verdict or answer than what was said
    records    wrong ones that were still in the record when the job ended
    findings   jobs that ended with a finding that is not the fault
    open       jobs that did not come to their end
    minutes    a job, the assistant speaking 160 words a minute

A technician who is asked whether a value was heard right says so, or says it again digit by
digit; he hears the echo of what was taken wrongly, and corrects a value or a lamp, three times at
most, or goes back for another answer. A line is printed as each job ends, and at the end what was
asked about.

``--part fit --turns 5`` plays jobs in the voices and noises that things are chosen by, so many for
each voice and procedure; ``--log FILE`` keeps what was said, what was heard of it, and what for.
"""

import argparse
import json
import random
import sys
import time
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from benchmarks.asked_about import asked_about
from benchmarks.hearing.intervals import Share
from benchmarks.hearing.sounds import NOISES, SNR_DB, VOICES, Setting, recorded
from benchmarks.hearing.voices import Studio
from technicians import Person
from whole_jobs import Mender, vehicles

from voiceassist.app import build
from voiceassist.app.desk.prove import setup_of
from voiceassist.app.ears.base import Elapsed, Utterance
from voiceassist.app.ears.hearing import Hearing
from voiceassist.app.ears.judgement import Judgement
from voiceassist.app.live.loop import Loop
from voiceassist.app.live.parts import Parts
from voiceassist.app.mouth.mouth import Mouth
from voiceassist.app.settings.settings import Settings
from voiceassist.language.language import Language
from voiceassist.language.meanings import Answer, Command, Lamp, Meaning, Reading
from voiceassist.language.step import StepGrammar
from voiceassist.prove.file_answer import Stuck
from voiceassist.prove.outcome import right_findings
from voiceassist.session.engine import Engine
from voiceassist.session.events import TimeUp
from voiceassist.session.judge import fits, judge
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
#: Of the part that is kept, voices that nothing was trained, fitted or chosen on: those that judge
#: the ear, and one more.
SPEAKERS = {"fit": VOICES["fit"], "kept": (*dict.fromkeys(VOICES["kept"]), "flite kal")}
WORDS_A_MINUTE, PAUSE_S = 160, 0.66
MOST_SAID = 150
#: So often a value that was taken wrongly is corrected before the technician gives up.
_MOST_TRIES = 3
#: Here he answers what he is asked.
_ASKED = frozenset({State.CONFIRM, State.WHICH, State.WHOSE})


#: What is counted in a job, in the order of the table.
COUNTED = ("answers", "repeats", "questions", "mends", "wrong", "verdicts", "records")


@dataclass(slots=True)
class Feel:
    """What some jobs came to."""

    jobs: int = 0
    counts: Counter[str] = field(default_factory=Counter)
    about: Counter[str] = field(default_factory=Counter)
    findings: list[str] = field(default_factory=list)
    still_open: list[str] = field(default_factory=list)
    mistakes: list[str] = field(default_factory=list)
    minutes: float = 0.0

    def add(self, other: "Feel") -> None:
        """These jobs too."""
        self.jobs += other.jobs
        self.counts += other.counts
        self.about += other.about
        self.findings += other.findings
        self.still_open += other.still_open
        self.mistakes += other.mistakes
        self.minutes += other.minutes

    def row(self, title: str) -> str:
        """A line of the table; counts are sums over the jobs, minutes a mean."""
        cells = " ".join(f"{self.counts[each]:9}" for each in COUNTED)
        ends = f"{len(self.findings):9} {len(self.still_open):4}"
        return f"{title:34} {self.jobs:4} {cells} {ends} {self.minutes / max(self.jobs, 1):7.1f}"


class Patient(Person):
    """Listens to what was understood, and puts it right."""

    feel: Feel
    _seen = 0
    _again = False
    _skips = False
    _meant: Meaning | None = None

    def __init__(self, mender: Mender, language: Language, rng: random.Random) -> None:
        super().__init__(mender, language, rng)
        #: Of each result that is wrong, by its place in the ledger: what had been said.
        self.wrong: dict[int, Meaning] = {}
        self._tries: Counter[str] = Counter()

    def says(self, session: Session) -> str | TimeUp:
        self._see_what_was_taken(session)
        if session.state not in _ASKED and (mends := self._mends(session.ledger)):
            self.feel.counts["mends"] += 1
            return mends
        said = self._meant
        if session.state in {State.CONFIRM, State.WHICH} and said is not None:
            self.feel.counts["questions"] += 1
            if session.state is State.CONFIRM and _same(session.pending[0], said):
                return "affirm reading"
            if isinstance(said, Answer) and said in session.pending:
                return self._plainly(session, said)  # "was that yes or no" is not answered with no
            self._again = not self._again  # once more in digits, then begin anew
            return self._plainly(session, said) if self._again else "negative"
        first = "mends" if session.state is State.WHOSE else "answers"
        self.feel.counts["repeats" if session.misses else first] += 1
        return super().says(session)

    def _mends(self, ledger: Sequence[Result]) -> str:
        """What puts the last mistake right; empty where there is none, or he has given up."""
        place, meant = next(reversed(self.wrong.items()), (0, None))
        if meant is None or not self._is_wrong(ledger, place):
            return ""
        self._tries[ledger[place].step] += 1
        if self._tries[ledger[place].step] > _MOST_TRIES:
            return ""
        if isinstance(meant, Reading | Lamp):
            return f"correction {self._language.say(meant, singly=True)}"
        self._tries[ledger[place].step] = _MOST_TRIES
        return "go back"

    def _plainly(self, session: Session, meaning: Meaning) -> str:
        """In digits, where it is a number."""
        if isinstance(meaning, Reading):
            return self._language.say(meaning, singly=True)
        return super()._worded(session, meaning)

    def _worded(self, session: Session, meaning: Meaning) -> str:
        if session.state is State.WHOSE:  # what is to be corrected is still what was meant
            return super()._worded(session, self._whose(session, meaning))
        self._meant = meaning
        self._skips = self._skips or (isinstance(meaning, Command) and meaning.name == "skip")
        return super()._worded(session, meaning)

    def _whose(self, session: Session, meaning: Meaning) -> Meaning:
        """The step of the value that is wrong, where the question offers it."""
        steps = [session.ledger[p].step for p in self.wrong if self._is_wrong(session.ledger, p)]
        offered = self.mender.choices(session)
        return next((Answer(step) for step in reversed(steps) if step in offered), meaning)

    def _see_what_was_taken(self, session: Session) -> None:
        """Note what was said, where something else was taken."""
        said, seen = self._meant, self._seen
        self._seen = len(session.ledger)
        fresh = [
            (place, taken)
            for place, taken in enumerate(session.ledger[seen:], seen)
            if not taken.by_itself
        ]
        if not fresh or said is None:
            return
        place, taken = fresh[0]
        skips, self._skips = self._skips, False
        told = isinstance(taken.meaning, Reading | Lamp | Answer)
        if skips or (told and _same(taken.meaning, said)):
            return
        if not told and taken.outcome != "skipped":
            return
        self.wrong[place] = said
        self.feel.counts["wrong"] += 1
        self.feel.counts["verdicts"] += self._outcome(session, taken, said) != taken.outcome
        instead = _told(taken.meaning) if taken.meaning is not None else taken.outcome
        self.feel.mistakes.append(f"{taken.step}: {_told(said)} taken for {instead}")

    def _outcome(self, session: Session, taken: Result, said: Meaning) -> str:
        """What the step would have given for ``said``."""
        before = session.previous
        setup = self.mender.setup
        if before is None or before.step != taken.step or not fits(setup.step(before), said):
            return ""
        judged = judge(setup, before, said)
        return judged.result.outcome if judged.result is not None else ""

    def _is_wrong(self, ledger: Sequence[Result], place: int) -> bool:
        """Whether a result that was wrong still is."""
        if place >= len(ledger) or ledger[place].superseded:
            return False
        return not _same(ledger[place].meaning, self.wrong[place])

    def left_wrong(self, ledger: Sequence[Result]) -> int:
        """How many results are wrong in a ledger that nobody corrects any more."""
        return sum(self._is_wrong(ledger, place) for place in self.wrong)


def _told(meaning: Meaning) -> str:
    if isinstance(meaning, Reading):
        return f"{meaning.value} {meaning.unit.symbol if meaning.unit else ''}".strip()
    return str(getattr(meaning, "name", meaning))


def _same(one: Meaning | None, other: Meaning) -> bool:
    if not (isinstance(one, Reading) and isinstance(other, Reading)):
        return one == other
    a, b = one.unit or other.unit, other.unit or one.unit
    if a is None or b is None:
        return one.value == other.value
    return one.value.scaleb(a.exponent) == other.value.scaleb(b.exponent)


class Overheard:
    """Ears of the loop: the technician says it aloud, in noise, and the listener hears it."""

    def __init__(self, person: Patient, bay: "Bay", turn: int) -> None:
        self.person = person
        self.loop: Loop | None = None
        self.heard_s = 0.0
        #: What was said, in which state and noise, and the letters that were heard.
        self.said: list[dict[str, str]] = []
        self._bay = bay
        self._last: tuple[Session, Judgement] | None = None
        name = person.mender.setup.procedure.name
        again = f" {turn}" if turn else ""
        self._rng = random.Random(f"{bay.level} {person.voice} {name}{again}")

    def expect(self, grammars: Iterable[StepGrammar]) -> None:
        """Nobody waits for the next answer."""

    def listen(
        self, grammar: StepGrammar, until_s: float | None = None
    ) -> Utterance | Elapsed | None:
        """The next thing said; None when he gives up."""
        assert self.loop is not None
        bay, hearing = self._bay, self._bay.hearing
        self._note_what_was_asked(self.loop.session)
        if len(self.said) >= MOST_SAID:
            return None
        try:
            said = self.person.says(self.loop.session)
        except Stuck:  # a value taken wrongly led to where there is nothing he could say
            return None
        if isinstance(said, TimeUp):
            return Elapsed()
        how = Setting(
            voice=self.person.voice,
            rate=self._rng.choice(("normal", "normal", "slow", "fast")),
            noise="room" if bay.level == "quiet" else self._rng.choice(NOISES[bay.part]),
            echo=self._rng.random() < 0.25,
            speech_dbfs=-24.0,
            seed=self._rng.getrandbits(32),
        )
        speech = bay.studio.spoken(said, how.voice, how.rate)
        clip = recorded(speech, how, bay.part, bay.level, bay.studio)
        self.heard_s += clip.seconds + PAUSE_S
        hearing.prepare(grammar)
        judgement = hearing.hear(clip)
        state = self.loop.session.state.value
        told = {"said": said, "state": state, "noise": how.noise, "letters": judgement.letters}
        self.said.append(told)
        self._last = self.loop.session, judgement
        return Utterance(
            judgement.words,
            (),
            judgement.nothing,
            certain=False,
            start_s=0,
            end_s=0,
            listener=hearing.name,
            clip=clip,
            judgement=judgement,
        )

    def _note_what_was_asked(self, now: Session) -> None:
        """What the last thing said is asked about for, where it is, or is to be said again."""
        last, self._last = self._last, None
        if last is None or not (now.state in {State.CONFIRM, State.WHICH} or now.misses):
            return
        self.person.feel.about[asked_about(self.person.mender.setup, *last)] += 1

    def close(self) -> None:
        """Nothing is held."""


@dataclass(frozen=True, slots=True)
class Bay:
    """Where the jobs are done: who hears, who speaks, of which part, how loud it is."""

    shop: build.Components
    hearing: Hearing
    studio: Studio
    part: str
    level: str
    log: Path | None = None


def play(bay: Bay, name: str, voice: str, turn: int = 0) -> Feel:
    """One job by sound."""
    shop, level, feel = bay.shop, bay.level, Feel(jobs=1)
    setup = setup_of(build.procedure(name).procedure, shop)
    seed = SPEAKERS[bay.part].index(voice) + 1 + len(SPEAKERS[bay.part]) * turn
    made = vehicles(setup, JOBS[name], seed)
    mender = Mender(setup, made.bad, made.good, made.hand)
    person = Patient(mender, shop.language, random.Random(seed))
    person.voice, person.feel = voice, feel
    ears, timeline = Overheard(person, bay, turn), FixedTimeline()
    keeper = MemoryKeeper()
    mouth = Mouth(None, shop.to_words, None, timeline, lambda _: None)
    parts = Parts(Engine(setup), shop.language, ears, mouth, keeper, timeline, lambda _: None)
    loop = ears.loop = Loop(parts)
    loop.begin({})
    outcome = loop.run()
    words = sum(len(shop.to_words(str(line.get("text", ""))).split()) for line in keeper.lines)
    feel.minutes = words / WORDS_A_MINUTE + ears.heard_s / 60
    feel.counts["records"] = person.left_wrong(loop.session.ledger)
    title = f"{level} {name} {voice}{f' {turn}' if turn else ''}"
    _log(bay.log, title, ears.said, keeper)
    feel.mistakes = [f"{title}: {each}" for each in feel.mistakes]
    if not outcome:
        feel.still_open.append(title)
    elif loop.session.finding not in right_findings(setup.procedure, JOBS[name]):
        feel.findings.append(f"{title}: {loop.session.finding or 'none'}")
    return feel


def _log(
    file: Path | None, title: str, said: Sequence[dict[str, str]], keeper: MemoryKeeper
) -> None:
    """Keep what was said beside what was heard of it."""
    if file is None:
        return
    heard = [line for line in keeper.lines if line.get("event") == "heard"]
    with file.open("a", encoding="utf-8") as out:
        for told, line in zip(said, heard, strict=False):
            out.write(json.dumps({"job": title, **told, **line}, default=str) + "\n")


def read_options() -> argparse.Namespace:
    """What the command line asks for."""
    options = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    options.add_argument("--folder", type=Path, required=True, help="keeps the spoken phrases")
    options.add_argument("--listener", default="")
    options.add_argument("--levels", nargs="+", choices=SNR_DB, default=list(SNR_DB))
    options.add_argument("--part", choices=SPEAKERS, default="kept")
    options.add_argument("--turns", type=int, default=1, help="jobs of a voice and procedure")
    options.add_argument("--voices", nargs="+", metavar="VOICE", help="of the part; usually all")
    options.add_argument("--log", type=Path)
    options.add_argument("--procedures", nargs="+", choices=JOBS, default=list(JOBS))
    options.add_argument("--minutes", type=float, default=60.0, help="begin no job after so long")
    return options.parse_args()


def main() -> None:
    chosen = read_options()
    shop = build.Components(Settings(**({"listener": chosen.listener} if chosen.listener else {})))
    hearing, studio = shop.hearing(), Studio(chosen.folder)
    feels = {level: Feel() for level in chosen.levels}
    ends_s = time.monotonic() + 60 * chosen.minutes
    print(f"listener {hearing.name}")
    heads = f"{' '.join(f'{each:>9}' for each in COUNTED)}  findings open minutes"
    print(f"{'level':34} jobs {heads}")
    # Voices and procedures by turns, so that a run broken off has heard many of each.
    voices = chosen.voices or SPEAKERS[chosen.part]
    jobs = [
        (chosen.procedures[(first + number) % len(chosen.procedures)], voice, turn)
        for turn in range(chosen.turns)
        for first in range(len(chosen.procedures))
        for number, voice in enumerate(voices)
    ]
    for name, voice, turn in jobs:
        for level, feel in feels.items():
            if time.monotonic() < ends_s:
                bay = Bay(shop, hearing, studio, chosen.part, level, chosen.log)
                one = play(bay, name, voice, turn)
                feel.add(one)
                print(one.row(f"{level} {name} {voice}"[:34]), flush=True)
    for level, feel in feels.items():
        print(feel.row(f"ALL {level}"))
        every = sum(feel.counts[each] for each in ("answers", "repeats", "questions"))
        unsure = feel.counts["repeats"] + feel.counts["questions"]
        print(f"    asked or repeated: {Share(unsure, every)} %")
        mended = feel.counts["mends"]
        print(f"    asked, repeated or put right: {Share(unsure + mended, every + mended)} %")
        print(f"    taken wrongly: {Share(feel.counts['wrong'], every)} %")
        for about, count in feel.about.most_common():
            print(f"    {count:5} {about}")
        for each in (*feel.mistakes, *feel.findings, *feel.still_open):
            print(f"    {each}")


if __name__ == "__main__":
    main()
