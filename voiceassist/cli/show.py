"""What a person or a program sees of a session, line by line."""

import json
import shutil
import sys
import textwrap
from collections.abc import Callable
from typing import TYPE_CHECKING, TextIO

if TYPE_CHECKING:
    from voiceassist.app.view import lines

Show = Callable[["lines.Line"], None]

_INDENT = "   "
_PROMPT = "> "
#: Who speaks in a recorded job; as wide as each other.
_TECHNICIAN, _ASSISTANT = "technician: ", "assistant:  "


def as_json(line: "lines.Line") -> None:
    """One JSON object on standard output."""
    print(json.dumps(dict(line), ensure_ascii=False), flush=True)


class People:
    """Prints a session as a conversation; a recorded one tells who speaks.

    Args:
        out: where to.
        total: how many utterances are recorded; 0 when somebody takes part.
    """

    def __init__(self, out: TextIO = sys.stdout, total: int = 0) -> None:
        self._out = out
        self._total = total
        self._heard = 0
        self._assistant_named = False  # it is known to speak
        self._at_prompt = False  # the cursor stands behind it
        self._typed_here = False  # the terminal shows the last line already

    @property
    def at_a_terminal(self) -> bool:
        """Somebody reads this as it is written."""
        return self._out is not None and self._out.isatty()

    def prompt(self) -> None:
        """Invite a line; once, however often it is asked for."""
        if not self._at_prompt:
            print(_PROMPT, end="", file=self._out, flush=True)
        self._at_prompt = True

    def entered(self) -> None:
        """A line was typed behind the prompt, and the terminal shows it."""
        self._at_prompt, self._typed_here = False, True

    def leave_prompt(self) -> None:
        """Go to a line of its own, should the cursor stand behind a prompt."""
        if self._at_prompt:
            print(file=self._out, flush=True)
        self._at_prompt = False

    def __call__(self, line: "lines.Line") -> None:
        """Print ``line`` if there is anything in it for a person."""
        from voiceassist.app.view import lines  # with all that a session needs

        match line:
            case lines.Heard():
                self._heard += 1
                if not self._typed_here:
                    self._tell_heard(_heard_text(line))
                elif line.let_pass:
                    self._tell("(for others)")
                self._typed_here = False
            case lines.SessionLine():
                pass
            case _ if line.text:
                self._tell(line.text)
        if isinstance(line, lines.AskLine) and line.picture:
            self._tell(f"[picture: {line.picture}]")

    def _tell_heard(self, words: str) -> None:
        if not self._total:
            self._print(_PROMPT, words)
            return
        self._assistant_named = False
        self._print("", "")
        self._print(_TECHNICIAN, f"{words}  [{self._heard}/{self._total}]")

    def _tell(self, text: str) -> None:
        head = _INDENT
        if self._total:
            head = " " * len(_ASSISTANT) if self._assistant_named else _ASSISTANT
            self._assistant_named = True
        self._print(head, text)

    def _print(self, head: str, text: str) -> None:
        self.leave_prompt()
        print(_fitted(head, text, self._out), file=self._out, flush=True)


def _heard_text(line: "lines.Heard") -> str:
    if line.words:
        unknown = "for others" if line.let_pass else "not understood"
        return line.words if line.meanings else f"{line.words}  ({unknown})"
    return f"({line.reason})"


def _fitted(head: str, text: str, out: TextIO | None) -> str:
    """``text`` broken between words where ``out`` is a terminal, which breaks within them."""
    if out is None or not out.isatty():
        return head + text
    lines = textwrap.wrap(
        text,
        shutil.get_terminal_size().columns,
        initial_indent=head,
        subsequent_indent=" " * len(head),
        break_long_words=False,
        break_on_hyphens=False,
    )
    return "\n".join(lines) or head + text


def shows(people: People, *, json_lines: bool) -> Show:
    """How to show a session: to ``people``, with ``json_lines`` to programs too."""
    if not json_lines:
        return people

    def both(line: "lines.Line") -> None:
        as_json(line)
        people(line)

    return both


def warn(sentence: str) -> None:
    """Tell a person something, out of the way of the output.

    It is never broken: it may hold a command or a path that is to be copied.
    """
    print(sentence, file=sys.stderr, flush=True)
