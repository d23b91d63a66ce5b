"""Lines for a person: whole words at a terminal, left as they are in a file or a pipe."""

import io

import pytest

from voiceassist.app import build
from voiceassist.app.ears.base import Elapsed
from voiceassist.app.ears.typed import TypedEars
from voiceassist.app.timeline import SoundTimeline
from voiceassist.cli.screen.prompt import PromptView
from voiceassist.cli.show import People, warn
from voiceassist.language.expectation import Expectation
from voiceassist.record.lines import AskLine, Heard, SentenceLine

GRAMMAR = build.Components(build.settings({})).language.compose(Expectation())
LONG = "Measure the voltage from the earth pin to the battery minus post."
PATH = "/tmp/a-folder-of-records/20260131-120000-heater-fan-module-0123ab"


class Terminal(io.StringIO):
    """Text written to a terminal."""

    def isatty(self) -> bool:
        return True


def shown(out: io.StringIO, text: str) -> list[str]:
    People(out)(AskLine.made(text=text))
    return out.getvalue().splitlines()


def test_a_terminal_gets_lines_that_break_between_words(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "40")
    assert shown(Terminal(), LONG) == [
        "   Measure the voltage from the earth",
        "   pin to the battery minus post.",
    ]


def test_a_pipe_gets_each_sentence_on_one_line(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "40")
    assert shown(io.StringIO(), LONG) == [f"   {LONG}"]


def test_a_command_to_be_copied_is_never_broken(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "40")
    monkeypatch.setattr("sys.stderr", terminal := Terminal())
    warn(f"Go on with: voiceassist run --resume --records {PATH}")
    assert terminal.getvalue().count("\n") == 1


# --- lines typed at the terminal ---


HEARD = Heard.made(words="affirm", certain=True, meanings=[{"kind": "answer"}])


class Typist:
    """Somebody at a terminal, who sees what is typed as well as what is printed."""

    def __init__(self, *typed: str) -> None:
        self.screen = Terminal()
        self.people = People(self.screen)
        self.view = PromptView(self.people)
        self._typed = iter(typed)

    def __iter__(self) -> "Typist":
        return self

    def __next__(self) -> str:
        line = next(self._typed)
        self.screen.write(f"{line}\n")  # the terminal's own echo
        return line

    def ears(self) -> TypedEars:
        return TypedEars(self, SoundTimeline(), lambda _: True, self.view.state)

    @property
    def shown(self) -> list[str]:
        return self.screen.getvalue().splitlines()


def test_a_typed_line_stands_once_behind_a_prompt() -> None:
    at = Typist("affirm")
    at.ears().listen(GRAMMAR)
    at.people(HEARD)
    at.people(AskLine.made(text="Go on."))
    assert at.shown == ["> affirm", "   Go on."]


def test_an_empty_line_gets_another_prompt() -> None:
    at = Typist("", "affirm")
    at.ears().listen(GRAMMAR)
    assert at.shown == ["> ", "> affirm"]


def test_what_happens_by_itself_gets_a_line_of_its_own_and_then_the_prompt_again() -> None:
    at = Typist("affirm")
    ears = TypedEars(at, SoundTimeline(), lambda _: False, at.view.state)
    assert isinstance(ears.listen(GRAMMAR, until_s=1.0), Elapsed)
    assert isinstance(ears.listen(GRAMMAR, until_s=1.0), Elapsed)
    at.people(SentenceLine.made(text="The time is up."))
    ears.listen(GRAMMAR)
    assert at.shown == ["> ", "   The time is up.", "> affirm"]


def test_the_end_of_the_input_leaves_the_prompt_alone_on_its_line(
    capsys: pytest.CaptureFixture[str],
) -> None:
    at = Typist()
    assert at.ears().listen(GRAMMAR) is None
    at.view.warn("The input ended.")
    at.view.close()
    assert at.screen.getvalue() == "> \n"
    assert capsys.readouterr().err == "The input ended.\n"


def test_lines_from_a_file_are_printed_since_no_terminal_shows_them() -> None:
    out = io.StringIO()
    People(out)(HEARD)
    assert out.getvalue() == "> affirm\n"
    assert not People(out).at_a_terminal


def test_a_line_that_was_heard_is_printed_though_others_were_typed() -> None:
    at = Typist("affirm")
    at.ears().listen(GRAMMAR)
    at.people(HEARD)
    at.people(HEARD)
    assert at.shown == ["> affirm", "> affirm"]
