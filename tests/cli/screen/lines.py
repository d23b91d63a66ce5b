"""Lines of a session, as the journal has them, for tests of the screen."""

from voiceassist.cli.screen.parts import ScreenState
from voiceassist.record.present import shown

Line = dict[str, object]

SESSION: Line = {
    "event": "session", "step": "", "text": "Fan", "title": "Fan runs too fast",
    "facts": {"vehicle": "number 7"},
}  # fmt: skip
CAUTION: Line = {
    "event": "caution", "step": "feed", "name": "blades", "signal": "WARNING", "acknowledge": True,
    "text": "WARNING: the fan may start. Keep clear.", "start_s": 2.0, "end_s": 5.0,
}  # fmt: skip
CONFIRM: Line = {
    "event": "ask", "step": "feed", "text": "Say affirm when you have understood.",
    "start_s": 5.2, "end_s": 7.0,
}  # fmt: skip
AFFIRM: Line = {
    "event": "heard", "step": "feed", "words": "affirm", "text": "affirm", "certain": False,
    "meanings": [{"kind": "answer", "name": "affirm"}], "probability": 0.9931, "doubtful": False,
    "reason": "", "start_s": 8.0, "end_s": 9.0,
}  # fmt: skip
ACKNOWLEDGED: Line = {"event": "acknowledged", "step": "feed", "text": "", "names": ["blades"]}
KEY: Line = {
    "event": "condition", "step": "feed", "name": "key", "state": "run", "met": False,
    "text": "Turn the key to run.",
}  # fmt: skip
KEY_MET: Line = {**KEY, "met": True, "text": ""}
ASK: Line = {
    "event": "ask", "step": "feed", "text": "Measure the feed. It is pin one.", "picture": "",
}  # fmt: skip
VOLTS: Line = {
    **AFFIRM, "words": "twelve point five volts", "probability": 0.87,
    "meanings": [{"kind": "reading", "value": "12.5", "unit": "V"}],
}  # fmt: skip
READING: Line = {"event": "reading", "step": "feed", "text": "12.5 V.", "shown": "12.5 V"}
VERDICT: Line = {
    "event": "verdict", "step": "feed", "text": "That is good.", "reading": "12.5 V",
    "limit": "12 V to 13 V", "verdict": "pass", "low": "12 V", "high": "13 V",
}  # fmt: skip
FINDING: Line = {
    "event": "finding", "step": "feed", "text": "Finding: the wire is broken. Because: feed: 3 V.",
    "cause": "the wire is broken", "correction": "mend the wire", "because": ["feed: 3 V"],
}  # fmt: skip
END: Line = {"event": "end", "step": "feed", "text": "The job is closed.", "outcome": "repaired"}
NEXT: Line = {"event": "ask", "step": "lamp", "text": "Hold the test lamp to the feed."}

JOB = [
    SESSION, CAUTION, CONFIRM, AFFIRM, ACKNOWLEDGED, KEY, ASK, KEY_MET, VOLTS, READING, VERDICT,
    FINDING, NEXT, END,
]  # fmt: skip


def folded(*lines: Line) -> ScreenState:
    """The screen after ``lines``."""
    state = ScreenState()
    for line in lines:
        state = shown(state, line)
    return state
