"""The house keeps its shape: which room may import which, and a core without the outside world."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parent.parent / "voiceassist"

CORE = {
    "errors", "measure", "circuit", "language", "doubt", "procedure", "session", "prove", "draw",
    "sound",
}  # fmt: skip

#: room -> rooms it may import; "room/module" admits only that module of a room.
MAY_IMPORT: dict[str, set[str]] = {
    "errors": set(),
    "measure": {"errors"},
    "language": {"errors", "measure"},
    "doubt": {"errors", "measure", "language"},
    "circuit": {"errors", "measure"},
    "procedure": {"errors", "measure", "circuit", "language"},
    "session": {"errors", "measure", "language", "procedure"},
    "prove": {"errors", "measure", "circuit", "language", "procedure", "session"},
    "draw": {"errors", "circuit", "procedure"},
    "sound": {"errors"},
    "devices": {"errors", "sound"},
    "recognise": {"errors", "sound"},
    "speak": {"errors", "sound"},
    "record": {"errors", "measure", "session/outputs"},
    "archive": {"errors", "measure", "record"},
    "page": {"errors", "measure"}
    | {
        "record/job",
        "record/pauses",
        "record/report",
        "record/said",
        "record/summary",
        "record/times",
    }
    | {"record/webvtt"},
    "models": {"errors"},
    "resources": {"errors"},
    "testing": {"errors", "measure", "language", "procedure", "session", "sound"}
    | {"devices/base", "recognise/base", "speak/base", "record/journal"}
    | {"record/disk", "record/sound"},
    "app": CORE
    | {"devices", "recognise", "speak", "record", "archive", "models"}
    | {"page", "resources"},
    "cli": {"errors", "app"},
}

#: Standard modules that let the outside world in; the core does without them.
WORLDLY = {
    "asyncio", "datetime", "io", "multiprocessing", "os", "pathlib", "queue", "random", "shutil",
    "signal", "socket", "subprocess", "sys", "tempfile", "threading", "time", "urllib", "wave",
}  # fmt: skip
#: ``random.Random`` is handed in by the caller of the sampler; only its type is needed.
ADMITTED = {("language", "random")}
OUTSIDE_CORE = {"pocketsphinx", "vosk", "pyttsx3", "sounddevice", "soundfile", "soxr"} | {
    "typer", "rich", "platformdirs", "onnxruntime", "sqlalchemy",
}  # fmt: skip


def modules() -> list[tuple[str, Path]]:
    """Each module with its room."""
    found = []
    for path in sorted(PACKAGE.rglob("*.py")):
        inside = path.relative_to(PACKAGE)
        if "_data" not in inside.parts:
            found.append((inside.parts[0].removesuffix(".py"), path))
    return [(room, path) for room, path in found if room not in {"__init__", "__main__"}]


def imports(path: Path) -> set[str]:
    """Every module imported anywhere in ``path``, type-only imports too."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path} imports relatively"
            assert node.module is not None
            found |= {f"{node.module}.{alias.name}" for alias in node.names}
    return found


@pytest.mark.parametrize(("room", "path"), modules(), ids=str)
def test_a_module_imports_only_rooms_it_may(room: str, path: Path) -> None:
    assert room in MAY_IMPORT, f"{room} is a new room; give it a line in this table"
    for name in imports(path):
        parts = name.split(".")
        if parts[0] != "voiceassist" or len(parts) < 2 or parts[1] == room:
            continue
        if parts[1] == "__version__":
            continue
        deeper = "/".join(parts[1:3])
        assert {parts[1], deeper} & MAY_IMPORT[room], f"{path} may not import {name}"


@pytest.mark.parametrize(("room", "path"), [m for m in modules() if m[0] in CORE], ids=str)
def test_the_core_does_not_touch_the_outside_world(room: str, path: Path) -> None:
    tops = {name.split(".")[0] for name in imports(path)}
    worldly = tops & WORLDLY - {name for r, name in ADMITTED if r == room}
    assert not worldly, f"{path} imports {worldly}"
    assert not tops & (OUTSIDE_CORE - ({"soxr"} if room == "sound" else set()))


def test_the_core_imports_with_every_optional_library_blocked() -> None:
    core = [
        "voiceassist." + ".".join(path.relative_to(PACKAGE).with_suffix("").parts)
        for room, path in modules()
        if room in CORE - {"sound"} and path.name != "__init__.py"
    ]
    program = (
        "import importlib, sys\n"
        f"sys.modules.update(dict.fromkeys({sorted(OUTSIDE_CORE)!r}))\n"
        f"for name in {core!r}: importlib.import_module(name)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr


def test_no_two_rooms_import_each_other() -> None:
    arrows = {(room, name.split("/")[0]) for room, names in MAY_IMPORT.items() for name in names}
    assert not {(a, b) for a, b in arrows if (b, a) in arrows and a != b}
