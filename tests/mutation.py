"""Plants small mistakes in one room, and counts those that the room's own tests see.

``python tests/mutation.py ROOM`` prints the count and the mistakes that nothing saw. mutmut makes
the mistakes in a copy of the project, and tries each with the tests that come by it, in a process
that has read everything beforehand. With ``--again`` what these do not see is tried once more by
all quick tests of the room, in a process that begins anew: a value that a test had worked out
earlier, and kept, hides a mistake.
"""

import argparse
import os
import random
import shutil
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Sequence
from contextlib import chdir, redirect_stdout
from io import StringIO
from pathlib import Path

HOME = Path(__file__).parents[1]
#: What the tests of a room can need, beside the package.
_BESIDE = ("tests", "grammars", "procedures", "docs", "audio_fixtures")
_QUICK = "not slow and not alone and not census"
#: Seconds for all quick tests of a room: what hangs is seen too.
_PATIENCE_S = 300
#: It wants every function of the actions in the table, and would find those with mistakes too.
_OF_NAMES = "tests/session/test_table.py::test_every_action_stands_in_some_row"
_SETTINGS = """

[tool.mutmut]
source_paths = ["voiceassist"]
only_mutate = ["voiceassist/{room}/*"]
also_copy = {beside}
pytest_add_cli_args = ["-m", "{quick}", "-p", "no:cacheprovider", "--deselect", "{names}"]
pytest_add_cli_args_test_selection = ["tests/{room}"]
track_dependencies = false
use_git_change_detection = false
"""

#: What takes long is tried last: most mistakes are seen before.
_QUICKEST_FIRST = """
import json
from pathlib import Path


def pytest_collection_modifyitems(items):
    file = Path("mutmut-stats.json")
    took = json.loads(file.read_text())["duration_by_test"] if file.exists() else {}
    items.sort(key=lambda item: took.get(item.nodeid, 0) > 0.3)
"""


def main() -> None:
    """Try one room, as the command line says."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("room")
    parser.add_argument("--sample", type=int, default=0, help="so many, drawn at random; else all")
    parser.add_argument("--seed", type=int, default=1, help="of the draw")
    parser.add_argument("--only", nargs="*", default=(), help="these, by their names")
    parser.add_argument("--again", action="store_true", help="try what is not seen once more")
    wish = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        copy(Path(folder), wish.room)
        with chdir(folder):
            every = names()
            tried = wish.only or drawn(every, wish.sample, wish.seed)
            print(f"{wish.room}: {len(tried)} of {len(every)} mistakes", flush=True)
            left = [n for n in unseen(tried) if not (wish.again and again(n, wish.room))]
            for name in left:
                subprocess.run([_tool(), "show", name], check=True, env=_env())
        seen = len(tried) - len(left)
        print(f"{wish.room}: {seen} of {len(tried)} seen, {100 * seen / len(tried):.1f} %")


def copy(folder: Path, room: str) -> None:
    """Put the project into ``folder``, set up to try ``room``."""
    for part in ("voiceassist", *_BESIDE):
        shutil.copytree(HOME / part, folder / part, ignore=shutil.ignore_patterns("__pycache__"))
    beside = [*_BESIDE, "conftest.py"]
    settings = _SETTINGS.format(room=room, beside=beside, quick=_QUICK, names=_OF_NAMES)
    text = (HOME / "pyproject.toml").read_text(encoding="utf-8")
    (folder / "pyproject.toml").write_text(text + settings, encoding="utf-8")
    (folder / "conftest.py").write_text(_QUICKEST_FIRST, encoding="utf-8")


def names() -> list[str]:
    """Make all mistakes that mutmut knows, and list them."""
    from mutmut.__main__ import create_mutants
    from mutmut.utils.file_utils import copy_src_dir

    Path("mutants").mkdir()
    with redirect_stdout(StringIO()):
        copy_src_dir()
        create_mutants(1)
    return list(results())


def results() -> dict[str, int | None]:
    """What became of each mistake, by its name: the exit code of its tests, None before."""
    from mutmut.mutation.data import SourceFileMutationData

    found: dict[str, int | None] = {}
    for path in sorted(Path("voiceassist").rglob("*.py")):
        data = SourceFileMutationData(path=path)
        data.load()
        found |= data.exit_code_by_key
    return found


def drawn(every: Sequence[str], sample: int, seed: int) -> Sequence[str]:
    """So many of them; all when there are no more."""
    return random.Random(seed).sample(every, sample) if 0 < sample < len(every) else every


def unseen(tried: Sequence[str]) -> list[str]:
    """Those which the tests that come by them do not see."""
    from mutmut.stats import status_by_exit_code

    call = [_tool(), "run", "--max-children", "1", *tried]
    done = subprocess.run(call, check=False, env=_env(), capture_output=True, text=True)
    if done.returncode:
        raise SystemExit(done.stdout[-2000:] + done.stderr[-2000:])
    found = {name: status_by_exit_code[code] for name, code in results().items()}
    print(dict(Counter(found[name] for name in tried)), flush=True)
    return [name for name in tried if found[name] in ("survived", "no tests", "suspicious")]


def again(name: str, room: str) -> bool:
    """Whether all quick tests of the room see it, in a process of their own."""
    source = Path(*name.split(".")[:-1]).with_suffix(".py")
    if not source.exists():
        source = source.with_suffix("") / "__init__.py"
    before = source.read_text(encoding="utf-8")
    subprocess.run([_tool(), "apply", name], check=True, env=_env())
    call = [sys.executable, "-m", "pytest", f"tests/{room}", "-x", "-q", "-m", _QUICK]
    try:
        done = subprocess.run(call, check=False, capture_output=True, timeout=_PATIENCE_S)
    except subprocess.TimeoutExpired:
        return True
    finally:
        source.write_text(before, encoding="utf-8")
    return done.returncode != 0


def _tool() -> str:
    return str(Path(sys.executable).with_name("mutmut"))


def _env() -> dict[str, str]:
    """The environment, without a way to the project that is not the copy."""
    return {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}


if __name__ == "__main__":
    main()
