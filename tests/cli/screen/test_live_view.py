"""The picture on a terminal: painted when something changed, and only then."""

import errno
import io
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field

import pytest
from cli.screen import lines
from rich.console import Console

from voiceassist.app.view import EarState, Level
from voiceassist.cli.screen.choose import pictured, stage
from voiceassist.cli.screen.live import LiveView
from voiceassist.errors import SettingsError
from voiceassist.record.lines import SentenceLine, typed

SESSION, CAUTION, CONFIRM, AFFIRM, ASK, END = typed(
    (lines.SESSION, lines.CAUTION, lines.CONFIRM, lines.AFFIRM, lines.ASK, lines.END)
)

ALTERNATE, BACK = "\x1b[?1049h", "\x1b[?1049l"


@dataclass
class Opened:
    view: LiveView
    out: io.StringIO
    told: list[str] = field(default_factory=list)
    seen: int = 0

    def fresh(self) -> str:
        """What was written since."""
        return self.out.getvalue()[self.seen :]


@contextmanager
def opened() -> Iterator[Opened]:
    """A view on a terminal in memory, its clock standing still."""
    out = io.StringIO()
    told: list[str] = []
    console = Console(file=out, force_terminal=True, width=80, height=24, legacy_windows=False)
    view = LiveView(console, told.append, now_s=lambda: 5.0)
    try:
        yield Opened(view, out, told)
    finally:
        view.close()


def settle(on: Opened, *last: str) -> int:
    """Pictures painted, once all of ``last`` is to be seen that was not before."""
    due = time.monotonic() + 10
    while not all(text in on.fresh() for text in last):
        assert time.monotonic() < due, "it is not painted"
        time.sleep(0.01)
    time.sleep(0.25)  # and nothing more comes
    on.seen = len(on.out.getvalue())
    return on.view.painted


def test_the_terminal_is_taken_with_the_first_line_and_given_back() -> None:
    with opened() as on:
        assert on.out.getvalue() == ""
        on.view.show(SESSION)
        settle(on, "Fan runs too fast")
        assert ALTERNATE in on.out.getvalue()
        assert BACK not in on.out.getvalue()
        on.view.close()
        assert BACK in on.out.getvalue()
        on.view.close()


def test_nothing_new_paints_nothing_new() -> None:
    with opened() as on:
        for line in (SESSION, CAUTION, CONFIRM, AFFIRM, ASK):
            on.view.show(line)
        before = settle(on, "It is pin one.")
        for _ in range(5):
            on.view.level(Level(-40.0, -50.2, -60.3, speech=False, clipped=False))
            on.view.state(EarState.LISTENING)
        once = settle(on, "listening", "-50 dB")
        assert 1 <= once - before <= 2
        on.view.level(Level(-39.0, -50.4, -60.1, speech=False, clipped=False))
        time.sleep(0.7)
        assert on.view.painted == once


def test_no_more_than_ten_pictures_a_second_are_painted() -> None:
    with opened() as on:
        on.view.show(SESSION)
        began = time.monotonic()
        for step in range(100):
            on.view.level(Level(-1.0, float(-(step % 60)), -70.0, speech=True, clipped=False))
            time.sleep(0.01)
        assert on.view.painted <= 2 + 10 * (time.monotonic() - began)
        assert on.view.painted >= 3


def test_what_is_told_while_the_screen_is_there_can_be_read_after_it() -> None:
    with opened() as on:
        on.view.warn("No voice.")
        assert on.told == ["No voice."]
        on.view.show(SESSION)
        on.view.warn("The disk is full.")
        on.view.show(END)
        settle(on, "The disk is full.", "closed")
        on.view.close()
        assert on.told == ["No voice.", "The disk is full.", "The job is closed."]


class Gone(io.StringIO):
    """A terminal that went away."""

    def write(self, _text: str) -> int:
        raise OSError(errno.EIO, "Input/output error")


def test_a_terminal_that_goes_away_does_not_stop_the_session() -> None:
    console = Console(file=Gone(), force_terminal=True, width=80, height=24, legacy_windows=False)
    view = LiveView(console, lambda _: None)
    for line in (SESSION, CAUTION, AFFIRM):
        view.show(line)
    time.sleep(0.2)
    view.close()


@pytest.mark.parametrize("typed", [True, False])
@pytest.mark.parametrize("json", [True, False])
def test_where_there_is_no_terminal_lines_are_written(
    capsys: pytest.CaptureFixture[str], json: bool, typed: bool
) -> None:
    with stage("auto", json=json, typed=typed) as on:
        on.show(SentenceLine.made(text="Turn the key off."))
    out, err = capsys.readouterr()
    assert ("Turn the key off." in (err if json else out)) is True
    assert ALTERNATE not in out + err
    assert out.startswith("{") is json


@pytest.mark.parametrize("screen", ["on", "yes"])
def test_a_picture_that_cannot_be_is_refused(screen: str) -> None:
    with (
        pytest.raises(SettingsError, match=r"this is no terminal|choose auto, on or off"),
        stage(screen, json=False, typed=False),
    ):
        pass


def test_a_recorded_job_is_pictured_when_one_can_follow_it() -> None:
    assert pictured("auto", real_time=False) == "off"
    assert pictured("auto", real_time=True) == "auto"
    assert pictured("on", real_time=False) == "on"


def test_the_rows_of_a_step_are_asked_for_once_and_shown() -> None:
    asked: list[tuple[str, dict[str, str]]] = []

    def rows(step: str, conditions: Mapping[str, str]) -> tuple[str, ...]:
        asked.append((step, dict(conditions)))
        return (f"red lead for {step}",)

    with opened() as on:
        on.view.follow(rows)
        for line in (SESSION, ASK, AFFIRM, ASK):
            on.view.show(line)
        step = str(ASK["step"])
        settle(on, f"red lead for {step}")
    assert asked == [(step, {})]
