"""What a person or a program sees of a session, line by line."""

import json
import shutil
import sys
import textwrap
from collections.abc import Callable, Mapping
from typing import TextIO

Line = Mapping[str, object]
Show = Callable[[Line], None]

_SILENT = frozenset({"session"})
_INDENT = "   "
_PROMPT = "> "


def as_json(line: Line) -> None:
    """One JSON object on standard output."""
    print(json.dumps(line, ensure_ascii=False), flush=True)


class People:
    """Prints a session as a conversation.

    Args:
        out: where to.
        total: how many utterances will come; 0 when that is not known.
    """

    def __init__(self, out: TextIO = sys.stdout, total: int = 0) -> None:
        self._out = out
        self._total = total
        self._heard = 0
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

    def __call__(self, line: Line) -> None:
        """Print ``line`` if there is anything in it for a person."""
        event = line.get("event")
        if event == "heard":
            self._heard += 1
            if not self._typed_here:
                self._print(self._heard_text(line))
            self._typed_here = False
        elif line.get("text") and event not in _SILENT:
            self._print(f"{_INDENT}{line['text']}")
        if line.get("picture"):
            self._print(f"{_INDENT}[picture: {line['picture']}]")

    def _heard_text(self, line: Line) -> str:
        count = f"[{self._heard:>2}/{self._total}] " if self._total else ""
        if line.get("words"):
            doubt = "" if line.get("meanings") else "  (not understood)"
            return f"{count}> {line['words']}{doubt}"
        return f"{count}> ({line.get('reason')})"

    def _print(self, text: str) -> None:
        self.leave_prompt()
        print(_fitted(text, self._out), file=self._out, flush=True)


def _fitted(text: str, out: TextIO | None) -> str:
    """``text`` broken between words where ``out`` is a terminal, which breaks within them."""
    if out is None or not out.isatty():
        return text
    indent = _INDENT if text.startswith(_INDENT) else ""
    lines = textwrap.wrap(
        text.removeprefix(indent),
        shutil.get_terminal_size().columns,
        initial_indent=indent,
        subsequent_indent=indent,
        break_long_words=False,
        break_on_hyphens=False,
    )
    return "\n".join(lines) or text


def shows(people: People, *, json_lines: bool) -> Show:
    """How to show a session: to ``people``, with ``json_lines`` to programs too."""
    if not json_lines:
        return people

    def both(line: Line) -> None:
        as_json(line)
        people(line)

    return both


def warn(sentence: str) -> None:
    """Tell a person something, out of the way of the output.

    It is never broken: it may hold a command or a path that is to be copied.
    """
    print(sentence, file=sys.stderr, flush=True)
