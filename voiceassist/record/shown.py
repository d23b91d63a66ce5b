"""What a screen or page shows of a session under way, as values."""

from dataclasses import dataclass

from voiceassist.record.scale import Scale

_BAD = frozenset({"low", "high"})
_ALMOST = 0.99


@dataclass(frozen=True, slots=True)
class ShownCaution:
    """A caution of the step.

    Parts:
        name: in the procedure.
        signal: its standard signal word, such as "WARNING".
        sentences: the hazard and how to avoid it.
        waits: it is to be acknowledged yet.
    """

    name: str
    signal: str
    sentences: tuple[str, ...]
    waits: bool


@dataclass(frozen=True, slots=True)
class ShownWords:
    """What was heard last.

    Parts:
        words: empty when there were none.
        probability: how surely, 0 to 1; None when typed, rejected, or heard without odds.
        certain: typed, so not misheard.
        doubt: why it was not understood, or "not sure"; empty when all is well.
    """

    words: str
    probability: float | None = None
    certain: bool = False
    doubt: str = ""

    @property
    def sure(self) -> str:
        """How surely, in words; in whole percent, and nothing is ever quite sure."""
        if self.certain:
            return "typed"
        if self.probability is None:
            return ""
        near = self.probability >= _ALMOST
        return "over 99% sure" if near else f"{int(self.probability * 100)}% sure"


@dataclass(frozen=True, slots=True)
class ShownReading:
    """The last reading and what came of it.

    Parts:
        step: it belongs to.
        shown: the reading, as "12.6 V".
        verdict: as in the journal; empty where nothing is judged.
        limit: in words and figures.
        sentences: of the verdict.
        scale: for the bar; None where there is none.
    """

    step: str
    shown: str
    verdict: str = ""
    limit: str = ""
    sentences: tuple[str, ...] = ()
    scale: Scale | None = None

    @property
    def told(self) -> str:
        """The verdict in large letters."""
        upper = self.verdict.upper()
        return f"TOO {upper}" if self.verdict in _BAD else upper


@dataclass(frozen=True, slots=True)
class ShownCondition:
    """A state of the vehicle; ``met`` False while it is to be brought about."""

    name: str
    state: str
    met: bool

    @property
    def told(self) -> str:
        """In words; an arrow where it is to be brought about."""
        return f"{self.name} {self.state}" if self.met else f"{self.name} → {self.state}"


@dataclass(frozen=True, slots=True)
class Present:
    """A session as it stands at present.

    Parts:
        title: of the job.
        step: the step under way.
        said: sentences of the present turn, what is asked for left out.
        task: sentences of what is asked for.
        limit: what its answer should be, in words and figures; empty where nothing is told.
        cautions: of the step, in the order they were spoken.
        heard, outcome: the last ones.
        conditions: of the vehicle, in the order they came up.
        finding: cause and correction; empty before there is one.
        found_at: the step it was reached at.
        end: how the session ended.
        notice: a sentence about the tool itself, such as a lost microphone.
        elapsed_s: whole seconds since the session began.
        speaking: the assistant speaks.
        clock_s: second of the session that the last line tells of.
        spoken_until_s: second at which the assistant's last sentence ends.
        fresh: nothing was spoken yet since the last thing heard.
    """

    title: str = ""
    step: str = ""
    said: tuple[str, ...] = ()
    task: tuple[str, ...] = ()
    limit: str = ""
    cautions: tuple[ShownCaution, ...] = ()
    heard: ShownWords | None = None
    outcome: ShownReading | None = None
    conditions: tuple[ShownCondition, ...] = ()
    finding: tuple[str, str] = ("", "")
    found_at: str = ""
    end: str = ""
    notice: str = ""
    elapsed_s: int = 0
    speaking: bool = False
    clock_s: float = 0.0
    spoken_until_s: float = 0.0
    fresh: bool = True

    @property
    def headline(self) -> str:
        """The cause, while nothing else matters: until the repair begins, and at the end."""
        return self.finding[0] if self.end or self.step == self.found_at else ""
