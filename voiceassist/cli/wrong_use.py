"""One sentence for a command line that cannot be used."""

import re
from collections.abc import Sequence
from difflib import get_close_matches
from typing import Protocol

_NO_COMMAND = re.compile(r"No such command '(.*?)'")


class _Group(Protocol):
    """What of a command with commands of its own is looked at."""

    def list_commands(self, ctx: object) -> Sequence[str]: ...

    def get_command(self, ctx: object, name: str) -> object: ...


class _Context(Protocol):
    """Where in the commands the error was found."""

    @property
    def command_path(self) -> str: ...

    @property
    def command(self) -> _Group: ...


def wrong_use(message: str, context: _Context | None) -> str:
    """The sentence for ``message`` of the argument parser, with what would do.

    An unknown command is told with the one that is nearest.
    """
    path = context.command_path if context is not None else "voiceassist"
    found = _NO_COMMAND.match(message)
    if found is None or context is None:
        return f"{message.rstrip('.')}: see '{path} --help'."
    near = _in_groups(found[1], path, context) or _near(found[1], path, context)
    would_do = [*near, f"{path} --help"]
    return f"{found[0]}: try {' or '.join(map(repr, would_do))}."


def _in_groups(word: str, path: str, context: _Context) -> list[str]:
    """The commands of that very name that have to be asked for by their group: "records list"."""
    group = context.command
    parts = {name: group.get_command(context, name) for name in group.list_commands(context)}
    listed = {name: getattr(part, "list_commands", None) for name, part in parts.items()}
    return [f"{path} {name} {word}" for name, of in listed.items() if of and word in of(context)]


def _near(word: str, path: str, context: _Context) -> list[str]:
    """The nearest command, or the nearest word in the name of a procedure, which *run* takes."""
    known = context.command.list_commands(context)
    procedures = _words_of_procedures() if "run" in known else []
    near = get_close_matches(word, [*known, *procedures], n=1)
    return [f"{path} {one}" if one in known else f"{path} run {one}" for one in near]


def _words_of_procedures() -> list[str]:
    from voiceassist.app.catalogue import shipped  # read only where it is needed

    names = [listed.name for listed in shipped()]
    return list(dict.fromkeys([*names, *(word for name in names for word in name.split("-"))]))
