"""The house keeps its shape: which room may import which, and a core without the outside world."""

import ast
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parent.parent / "voiceassist"

CORE = {
    "errors", "measure", "circuit", "language", "doubt", "procedure", "session", "prove", "reason",
    "rehearse", "draw", "sound",
}  # fmt: skip

#: room -> rooms it may import; "room/module" admits only that module of a room.
MAY_IMPORT: dict[str, set[str]] = {
    "errors": set(),
    "measure": {"errors"},
    "language": {"errors", "measure"},
    "doubt": {"errors", "language"},
    "circuit": {"errors", "measure"},
    "procedure": {"errors", "measure", "circuit", "language"},
    "session": {"errors", "measure", "circuit", "language", "procedure"},
    "prove": {"errors", "measure", "circuit", "language", "procedure", "session"},
    "reason": {"errors", "measure", "circuit", "language", "procedure", "session", "prove"},
    "rehearse": {"errors", "measure", "circuit", "language", "procedure", "session"}
    | {"prove", "reason"},
    "draw": {"errors", "measure", "circuit", "procedure"},
    "sound": {"errors"},
    "devices": {"errors", "sound"},
    "recognise": {"errors", "sound"},
    "speak": {"errors", "sound"},
    "record": {"errors", "measure"},
    "archive": {"errors", "measure", "record"},
    "page": {"errors", "measure"}
    | {
        "record/fields",
        "record/changes",
        "record/facts",
        "record/lines",
        "record/outcomes",
        "record/pauses",
        "record/read_session",
        "record/report",
        "record/said",
        "record/summary",
    }
    | {"record/webvtt", "record/page_seal"},
    "bench": {"errors", "page/bar"}
    | {
        "record/chain",
        "record/entry",
        "record/facts",
        "record/folder",
        "record/instructor",
        "record/lines",
        "record/outcomes",
        "record/present",
        "record/readings",
        "record/shown",
        "record/times",
        "record/webvtt",
    },
    "resources": {"errors"},
    "testing": {"errors", "sound", "recognise/base"}
    | {"record/disk", "record/fields", "record/lines", "record/sound"},
    "app": CORE - {"circuit"}
    | {"devices", "recognise", "speak", "record", "archive"}
    | {"page", "resources", "bench"},
    "cli": {"errors", "app"},
}

#: Rooms in wings: wing, or module beside the wings -> which of them it may import.
#: Each imports only what stands above it.
WINGS: dict[str, dict[str, set[str]]] = {
    "procedure": {
        "faults": set(),
        "model": set(),
        "shape": set(),
        "text": {"faults", "shape"},
        "parts": {"faults", "model", "shape", "text"},
        "checks": {"faults", "model", "parts", "text"},
        "fuses": {"model"},
        "glance": {"model", "text"},
        "meter_file": {"faults", "parts", "text"},
        "assemble": {"checks", "model", "parts", "shape", "text"},
        "read": {"assemble", "faults", "model", "parts", "shape", "text"},
    },
    "app": {
        "catalogue": set(),
        "facts_given": set(),
        "new_file": set(),
        "progress": set(),
        "settings": set(),
        "timeline": set(),
        "warn": set(),
        "mouth": {"timeline"},
        "ears": {"mouth", "timeline"},
        "pages": {"settings", "warn"},
        "view": {"ears"},
        "step_rows": {"view"},
        "loaded": set(),
        "build": {"ears", "loaded", "settings"},
        "kept_files": {"build"},
        "asked_procedure": {"build", "catalogue"},
        "live": {"ears", "mouth", "pages", "timeline"},
        "keeping": {"mouth", "pages", "timeline", "warn"},
        "sources": {"build", "ears", "mouth", "timeline", "view", "warn"},
        "program": set(),
        "workers": {"program"},
        "desk": {"build", "ears", "live", "program", "progress", "settings", "workers"},
        "rehearsal": {"build", "kept_files"}
        | {"desk", "live", "program", "progress", "settings", "workers"},
        "advising": {"build", "kept_files", "rehearsal"},
        "intake": {"build", "catalogue", "ears", "live", "mouth"},
        "session_request": {"progress", "rehearsal", "view"},
        "session_head": {"build", "session_request", "settings"},
        "equipment": {"build", "ears", "mouth", "session_request", "sources", "timeline", "warn"},
        "soundcheck": {"build", "ears", "sources", "warn"},
        "records": {"keeping", "new_file", "pages", "settings", "warn"},
        "again": {"build", "ears", "live", "pages", "progress", "records", "settings", "workers"},
        "bench": {"build", "kept_files", "live", "pages", "records", "rehearsal", "settings"},
        "one_session": {"build", "asked_procedure", "kept_files", "session_head", "equipment"}
        | {"advising", "intake", "keeping", "live", "pages", "rehearsal", "session_request"}
        | {"step_rows", "warn"},
        "sessions": {"build", "equipment", "intake", "kept_files", "live", "one_session"}
        | {"rehearsal", "session_request", "warn"},
        "demo": {"live", "session_request", "sessions", "warn"},
    },
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


@cache
def modules() -> list[tuple[str, Path]]:
    """Each module with its room."""
    found = []
    for path in sorted(PACKAGE.rglob("*.py")):
        inside = path.relative_to(PACKAGE)
        if "_data" not in inside.parts:
            found.append((inside.parts[0].removesuffix(".py"), path))
    return [(room, path) for room, path in found if room not in {"__init__", "__main__"}]


def modules_of(room: str) -> list[Path]:
    return [path for of, path in modules() if of == room]


@cache
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


def rooms_named_by(path: Path) -> set[str]:
    """Each room that ``path`` imports, and each module of it as ``room/module``."""
    parts = [name.split(".") for name in imports(path) if name.startswith("voiceassist.")]
    return {part[1] for part in parts} | {"/".join(part[1:3]) for part in parts}


def wing_arrows(room: str) -> set[tuple[str, str]]:
    """Which wing, or module beside the wings, imports which within ``room``."""
    found = set()
    for path in (PACKAGE / room).rglob("*.py"):
        wing = path.relative_to(PACKAGE / room).parts[0].removesuffix(".py")
        named = {n.partition("/")[2] for n in rooms_named_by(path) if n.startswith(f"{room}/")}
        found |= {(wing, name) for name in named - {wing}}
    return found


def test_every_room_has_a_line_in_the_table() -> None:
    assert {room for room, _ in modules()} == set(MAY_IMPORT)


@pytest.mark.parametrize("room", MAY_IMPORT)
def test_a_room_imports_only_rooms_it_may(room: str) -> None:
    for path in modules_of(room):
        for name in imports(path):
            parts = name.split(".")
            if parts[0] != "voiceassist" or len(parts) < 2 or parts[1] in {room, "__version__"}:
                continue
            deeper = "/".join(parts[1:3])
            assert {parts[1], deeper} & MAY_IMPORT[room], f"{path} may not import {name}"


@pytest.mark.parametrize("room", sorted(CORE))
def test_the_core_does_not_touch_the_outside_world(room: str) -> None:
    admitted = {name for r, name in ADMITTED if r == room}
    outside = OUTSIDE_CORE - ({"soxr"} if room == "sound" else set())
    for path in modules_of(room):
        tops = {name.split(".")[0] for name in imports(path)}
        assert not tops & (WORLDLY - admitted), f"{path} touches the world"
        assert not tops & outside, f"{path} imports a library it must do without"


@pytest.mark.parametrize("room", WINGS)
def test_a_wing_imports_only_what_stands_above_it_and_what_it_may(room: str) -> None:
    order = list(WINGS[room])
    arrows = wing_arrows(room)
    assert {wing for wing, _ in arrows} <= set(order), "a new wing; give it a line in this table"
    assert {(a, b) for a, b in arrows if b not in WINGS[room][a]} == set()
    assert {(a, b) for a, b in arrows if order.index(a) < order.index(b)} == set()


def test_no_permission_is_left_that_nobody_uses() -> None:
    used = {(room, name) for room, path in modules() for name in rooms_named_by(path)}
    rooms = {(room, name) for room, names in MAY_IMPORT.items() for name in names}
    assert rooms - used == set()
    for room, wings in WINGS.items():
        allowed = {(wing, name) for wing, names in wings.items() for name in names}
        assert allowed - wing_arrows(room) == set()


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


@pytest.mark.parametrize(
    ("program", "without"),
    [
        ("import voiceassist.cli.main", {"sqlalchemy", "yaml", "voiceassist.record.lines"}),
        ("import voiceassist.app.records.opened", {"yaml", "voiceassist.record.lines"}),
    ],
)
def test_a_command_that_only_looks_starts_without_what_a_session_needs(
    program: str, without: set[str]
) -> None:
    """Each of these takes long to import, and a list of sessions is asked for many times a day."""
    heavy = {"numpy", "lark", "jinja2", "PIL", "onnxruntime", "sounddevice"} | without
    asked = f"import sys; {program}; print(*({heavy!r} & sys.modules.keys()))"
    done = subprocess.run(
        [sys.executable, "-c", asked], capture_output=True, text=True, check=False
    )
    assert (done.stdout.split(), done.stderr) == ([], "")


def test_no_two_rooms_import_each_other() -> None:
    arrows = {(room, name.split("/")[0]) for room, names in MAY_IMPORT.items() for name in names}
    assert not {(a, b) for a, b in arrows if (b, a) in arrows and a != b}
