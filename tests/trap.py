"""Watches a command from outside, by what it asks of the system: sockets, and files it writes."""

import os
import re
import shutil
import subprocess
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

CALLS = (
    *("socket", "connect", "open", "openat", "creat", "mkdir", "mkdirat", "mknod", "mknodat"),
    *("rename", "renameat", "renameat2", "link", "linkat", "symlink", "symlinkat", "truncate"),
)
#: Families of sockets that never leave the computer (Linux manual, socket(2), unix(7), netlink(7)).
_LOCAL = frozenset({"AF_UNIX", "AF_NETLINK"})
#: Where the system's own answerer of names listens on a local socket; what it is asked goes out.
_ANSWERER = "resolve"
_CALL = re.compile(r"^\d+ +(?P<name>[a-z0-9]+)\((?P<arguments>.*)$")
_TEXT = re.compile(r'"((?:[^"\\]|\\.)*)"')
_AT = re.compile(r"(?:AT_FDCWD|\d+)<(?P<folder>[^>]*)>")
#: The system's own; nothing that is written there stays on a disk.
_OF_THE_SYSTEM = (Path("/dev"), Path("/proc"), Path("/sys"))


@dataclass(frozen=True, slots=True)
class Seen:
    """What a command did.

    Parts:
        done: how it ended, and what it wrote to its outputs.
        outward: calls that lead out of the computer, as strace has them.
        written: files and folders that it made, changed or tried to.
    """

    done: "subprocess.CompletedProcess[str]"
    outward: tuple[str, ...]
    written: frozenset[Path]

    def outside(self, *folders: Path) -> set[Path]:
        """What it wrote that is neither one of ``folders`` nor lies in one."""
        return {p for p in self.written if not any(p.is_relative_to(folder) for folder in folders)}


def lacking() -> str:
    """Why there can be no trap; empty when there can."""
    return "" if shutil.which("strace") else "needs strace (install the package strace)"


def trapped(command: Sequence[str], folder: Path, *, typed: str = "", **variables: str) -> Seen:
    """Run ``command`` to its end with a home of its own in ``folder``, and tell what it did."""
    for name in ("home", "tmp", "run"):
        (folder / name).mkdir(parents=True, exist_ok=True)
    trace = folder / "strace.txt"
    watch = ["strace", "-f", "-qq", "-y", "--seccomp-bpf", "-s", "4096", "-o", str(trace)]
    done = subprocess.run(
        [*watch, "-e", f"trace={','.join(CALLS)}", *command],
        input=typed,
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
        cwd=folder,
        env={
            "PATH": os.environ["PATH"],
            "PYTHONPATH": os.environ.get("PYTHONPATH", ""),
            "PYTHONDONTWRITEBYTECODE": "1",
            "HOME": str(folder / "home"),
            "TMPDIR": str(folder / "tmp"),
            "XDG_RUNTIME_DIR": str(folder / "run"),
            **variables,
        },
    )
    calls = list(_calls(trace.read_text(encoding="utf-8", errors="replace")))
    return Seen(
        done,
        tuple(call for name, call in calls if _leads_out(name, call)),
        frozenset(folder / path for name, call in calls for path in _writes(name, call)),
    )


def _calls(trace: str) -> Iterator[tuple[str, str]]:
    for line in trace.splitlines():
        if found := _CALL.match(line):
            yield found["name"], found["arguments"]


def _leads_out(name: str, arguments: str) -> bool:
    if name == "socket":
        return arguments.partition(",")[0] not in _LOCAL
    return name == "connect" and ("AF_INET" in arguments or _ANSWERER in arguments)


def _writes(name: str, arguments: str) -> Iterator[Path]:
    if name in {"socket", "connect"}:
        return
    flags = ("O_WRONLY", "O_RDWR", "O_CREAT", "O_TRUNC", "O_APPEND")
    if name in {"open", "openat"} and not any(flag in arguments for flag in flags):
        return
    texts = _TEXT.findall(arguments)
    folders = [match["folder"] for match in _AT.finditer(arguments.split('"', maxsplit=1)[0])]
    if texts:  # the last one is what a link or a new name is called
        path = Path(*folders[:1], texts[-1])
        if not any(path.is_relative_to(own) for own in _OF_THE_SYSTEM):
            yield path
