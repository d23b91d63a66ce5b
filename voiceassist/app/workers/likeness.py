"""By what two processes are known to come to the same: the program, its words, and what it uses."""

import platform
from functools import cache
from hashlib import sha256
from importlib.metadata import version

from voiceassist import __version__, resources
from voiceassist.app.program import program

#: Shipped files that what is worked out hangs on, and libraries that draw or calculate.
_KINDS = ("grammars", "procedures")
_LIBRARIES = ("numpy", "onnxruntime")
_SHOWN = 8

Likeness = tuple[tuple[str, str], ...]


@cache
def likeness() -> Likeness:
    """What must be the same, each by its name."""
    own = sha256(program().encode())
    for kind in _KINDS:
        home = resources.folder(kind)
        for file in sorted(path for path in home.rglob("*") if path.is_file()):
            own.update(str(file.relative_to(home)).encode())
            own.update(file.read_bytes())
    python = ".".join(platform.python_version_tuple()[:2])
    ours = f"{__version__} ({own.hexdigest()[:_SHOWN]})"
    libraries = ((name, version(name)) for name in _LIBRARIES)
    return (("Python", python), ("voiceassist", ours), *libraries)


def unlike(here: Likeness, there: Likeness) -> str:
    """What is not the same there, as a clause; empty when all is."""
    found = dict(there)
    differ = [(name, own, found.get(name, "none")) for name, own in here if found.get(name) != own]
    return ", ".join(f"{name} is {other} there and {own} here" for name, own, other in differ)
