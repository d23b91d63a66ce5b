"""A rehearsal under way: the bench, what can be said to it, and the mark at its end."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from threading import Thread

from voiceassist.app.live.replay import moments
from voiceassist.app.rehearsal.asked import Mode, Settled
from voiceassist.app.rehearsal.mark_line import mark_line
from voiceassist.app.rehearsal.vehicle import vehicle_in
from voiceassist.language.expectation import Choice, Expectation
from voiceassist.procedure.model import Step
from voiceassist.reason.adviser import Adviser
from voiceassist.record.lines import AdviceGiven, Line, RehearsedLine
from voiceassist.rehearse.acts import Act
from voiceassist.rehearse.bench import Bench
from voiceassist.rehearse.dial import ranges
from voiceassist.rehearse.expecting import wished
from voiceassist.rehearse.hints import hint
from voiceassist.rehearse.marks import Completed, Mark, mark
from voiceassist.rehearse.puzzled import instead, no_such_cause, no_such_change
from voiceassist.rehearse.telling import sentences
from voiceassist.rehearse.tested import is_known, with_tests
from voiceassist.rehearse.wishes import HINTS, Verb, Wish, WishPhrases
from voiceassist.session.actions.advised import AGAINST, MOST, SURE
from voiceassist.session.engine import Engine
from voiceassist.session.outputs import Advice
from voiceassist.session.session import Session, SessionSetup, Stage
from voiceassist.session.shown import spoken_name

#: The language's file of ways to say a wish, and what the procedure is called that is practised,
#: in a session whose own has one question alone.
_HINTS = {SURE: Verb.SURE, MOST: Verb.HINT, AGAINST: Verb.AGAINST}
WAYS, PRACTISED = "rehearse.toml", "rehearsed.yaml"


@dataclass
class Rehearsal:
    """What is said beside the job of a rehearsal is said to its vehicle.

    Parts:
        settled: what is practised.
        setup: of the procedure that is practised.
        adviser: knows what its vehicles show.
        bench: the vehicle, and what was done.
        choices: what can be said to it.
        files: name to text of what the session's folder has to hold beside its own procedure.
        ways: of saying a wish.
    """

    settled: Settled
    setup: SessionSetup
    adviser: Adviser
    bench: Bench
    choices: tuple[Choice, ...]
    files: Mapping[str, str]
    ways: WishPhrases
    _met: int = 0  # so many results of the session are known to the vehicle
    _told: dict[int, str] = field(default_factory=dict)  # results told otherwise than shown
    _looking: Thread | None = None  # what he tested of his own is looked into

    def header(self, title: str) -> Mapping[str, object]:
        """What the first line of the journal tells of it, the title of the procedure among it."""
        marked = self.setup.book("rehearse.title", title=title)
        return {"title": marked, "text": marked, "rehearsal": self.settled.to_json()}

    def expects(self, expected: Expectation, session: Session) -> Expectation:
        """``expected`` with the changes that are asked for, and with what the meter shows."""
        more = wished(expected, session.prompt)
        if self.settled.mode is Mode.LED and (expected.quantities or expected.lamp):
            return replace(more, shown=self.bench.shown_at(session.step))
        return more

    def takes(self, name: str) -> bool:
        """True when the answer called ``name`` is a wish."""
        return Wish.named(name) is not None

    def instead(self, words: str, understood: Callable[[str], bool]) -> str:
        """What is said to a wish that cannot be."""
        procedure, book = self.setup.procedure, self.setup.book
        free = self.settled.mode is Mode.FREE
        dial = tuple(ranges(self.setup).values()) if free else ()
        said = instead(words, procedure, self.ways, book, understood, dial)
        return said or (no_such_cause(words, procedure, book) if free else "")

    def unknown(self, words: str) -> str:
        """What is said to a change that cannot be."""
        return no_such_change(words, self.setup.procedure, self.ways, self.setup.book)

    def answer(self, name: str, session: Session) -> Line:
        """Let the wish come about; the line that keeps it, whose ``text`` is spoken."""
        wish = Wish.named(name)
        assert wish is not None
        self._follow(session)
        act = self._done(wish, session.step)
        return RehearsedLine.made(
            step=session.step,
            text=act.told,
            wish=wish.name,
            named=session.finding,
            minutes=act.minutes,
            slips=list(act.slips),
        )

    @property
    def waiting(self) -> bool:
        """A test of his own is still to be looked into, for what is asked of it later."""
        return not is_known(self.adviser, self.bench.acts)

    def advise(self, asked: Advice, session: Session) -> Advice:
        """The instructor's answer, which counts as a hint."""
        wish = Wish(_HINTS[asked.asked], asked.about)
        return replace(asked, text=self._done(wish, session.step).told)

    def late(self, session: Session, wait_s: float) -> Advice | None:
        """There is none; what he tested of his own is looked into beside, and no answer waits."""
        if self._looking is None:
            self._looking = Thread(target=self._look_into, daemon=True)
            self._looking.start()
        self._looking.join(wait_s)
        if not self._looking.is_alive():
            self._looking = None
        return None

    def opening(self) -> Sequence[Line]:
        """What is said before the job begins: that no vehicle is touched, and the complaint."""
        book, complaints = self.setup.book, self.setup.procedure.complaints
        told = [book("rehearse.begins")]
        told += [book("rehearse.complaint", complaint=c) for c in complaints[:1]]
        told.append(book(f"rehearse.how-{self.settled.mode}"))
        return [
            RehearsedLine.made(
                step="", text=" ".join(told), wish="", named="", minutes=0.0, slips=[]
            )
        ]

    def closing(self, session: Session) -> Sequence[Line]:
        """The mark, before the job is closed."""
        found = replace(self.mark(session.finding), misread=self._misread(session))
        text = " ".join(sentences(found, self.setup.procedure, self.setup.book))
        return [mark_line(found, text)]

    def mark(self, finding: str) -> Mark:
        """The mark when ``finding`` was named."""
        if self._looking is not None:
            self._looking.join()
        self._look_into()
        bench = self.bench
        over = Completed(
            fault=self.settled.fault,
            named=finding,
            acts=tuple(bench.acts),
            car=vehicle_in(self.setup, self.settled),
            led=self.settled.mode is Mode.LED,
            put_right=tuple(bench.put_right),
            many=bench.many,
        )
        return mark(self.adviser, over, self.settled.how)

    def replay(self, lines: Sequence[Line]) -> None:
        """Do again what a journal keeps."""
        led = self.settled.mode is Mode.LED
        stood = dict(_stood(Engine(self.setup), lines)) if led else {}
        session = Session()
        for line in lines:
            session = stood.get(line.seq, session)
            if isinstance(line, RehearsedLine) and (wish := Wish.named(line.wish)) is not None:
                self._follow(session)
                self.bench.named = line.named
                self._done(wish, line.step)
            elif isinstance(line, AdviceGiven) and line.asked in _HINTS:
                self._done(Wish(_HINTS[line.asked], line.about), line.step)

    def _follow(self, session: Session) -> None:
        """What was told as done in the job is so at the vehicle: the work, and the repair."""
        self.bench.named = session.finding
        if self.settled.mode is not Mode.LED:
            return
        self._hear(session)
        for result in session.ledger[self._met :]:
            if result.outcome == "done":
                self.bench.is_done(self.setup.procedure.step(result.step))
        self._met = len(session.ledger)
        put_right = [name for name, _ in session.put_right]
        put_right += [session.finding] if session.stage is Stage.PROVE else []
        for finding in put_right:
            self.bench.is_put_right(finding)

    def _hear(self, session: Session) -> None:
        """Compare what was told since with what the instrument shows still."""
        for number, result in enumerate(session.ledger[self._met :], self._met):
            if shown := self.bench.misread(result):
                step = spoken_name(result.step)
                words = {"step": step, "told": result.shown, "shown": shown}
                self._told[number] = self.setup.book("rehearse.misread", **words)

    def _misread(self, session: Session) -> tuple[str, ...]:
        """What was told otherwise than the meter showed it, and not corrected."""
        self._hear(session)
        stands = [number for number, one in enumerate(session.ledger) if not one.superseded]
        return tuple(self._told[number] for number in stands if number in self._told)

    def _done(self, wish: Wish, step: str) -> Act:
        """What comes of a wish: at the vehicle, or of the instructor's knowledge."""
        if wish.verb not in HINTS:
            return self.bench.do(wish, self._step(step))
        act = hint(self.adviser, self.bench.acts, wish)
        self.bench.acts.append(act)
        return act

    def _look_into(self) -> None:
        """Have every test in the table; each that is new takes a part of a second."""
        self.adviser, _ = with_tests(self.adviser, tuple(self.bench.acts))

    def _step(self, name: str) -> Step | None:
        """The step that leads; None where the trainee does."""
        procedure = self.setup.procedure
        known = name in procedure.steps or name in procedure.repairs
        return procedure.step(name) if known and self.settled.mode is Mode.LED else None


def _stood(engine: Engine, lines: Sequence[Line]) -> Iterator[tuple[int, Session]]:
    """Where the session stood after each line of its journal that is an event, by its number."""
    for moment in moments(engine, lines):
        session = moment.turn.session if moment.turn is not None else moment.before
        yield moment.line.seq, session
