"""Plants small mistakes in one room, and counts those that the room's own tests see.

``python tests/mutation.py ROOM`` prints each as it is tried, then the count, and what nothing saw.
mutmut makes the mistakes, in a copy of the project; ``planted.py`` tries them. What runs while the
program is imported is tried in a process that begins anew, by all quick tests of the room.
"""

import argparse
import os
import random
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from contextlib import chdir, redirect_stdout
from io import StringIO
from math import sqrt
from pathlib import Path

import pytest
from planted import Mistake, Trial, lines_of

HOME = Path(__file__).parents[1]
#: What the tests of a room can need, beside the package.
_BESIDE = ("tests", "grammars", "procedures", "docs", "audio_fixtures")
_QUICK = "not slow and not alone and not census"
#: Seconds for all quick tests of a room: what hangs is seen too.
_PATIENCE_S = 600
#: It wants every function of the actions in the table, and would find those with mistakes too.
_OF_NAMES = "tests/session/test_table.py::test_every_action_stands_in_some_row"
_SETTINGS = """

[tool.mutmut]
source_paths = ["voiceassist"]
only_mutate = ["voiceassist/{room}/*"]
"""


def main() -> None:
    """Try one room, as the command line says."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("room")
    parser.add_argument("--sample", type=int, default=0, help="so many, drawn at random; else all")
    parser.add_argument("--seed", type=int, default=1, help="of the draw")
    parser.add_argument("--only", nargs="*", default=(), help="these, by their names")
    parser.add_argument("--without", nargs="*", default=(), help="these tests, which take long")
    parser.add_argument("--folder", type=Path, help="keep the copy there, for the next time")
    wish = parser.parse_args()
    with tempfile.TemporaryDirectory() as passing:
        folder = (wish.folder or Path(passing)).absolute()
        copy(folder, wish.room)
        with chdir(folder):
            every = names()
            drawn = wish.only or sampled(every, wish.sample, wish.seed)
            print(f"{wish.room}: {len(drawn)} of {len(every)} mistakes", flush=True)
            left = unseen(drawn, wish.room, wish.without)
            for name in left:
                print(f"\n{name}\n{difference(name)}")
    seen, tried = len(drawn) - len(left), len(drawn)
    low, high = interval(seen, tried)
    share = f"{seen / tried:.1%}, of the whole room {low:.0%} to {high:.0%}"
    print(f"{wish.room}: {seen} of {tried} seen, {share}")


def copy(folder: Path, room: str) -> None:
    """Put the project into ``folder``, set up to try ``room``."""
    hidden = shutil.ignore_patterns("__pycache__", "node_modules")
    for part in ("voiceassist", *(f"mutants/{name}" for name in _BESIDE)):
        source = HOME / part.removeprefix("mutants/")
        shutil.copytree(source, folder / part, ignore=hidden, dirs_exist_ok=True)
    text = (HOME / "pyproject.toml").read_text(encoding="utf-8") + _SETTINGS.format(room=room)
    for place in (folder, folder / "mutants"):
        (place / "pyproject.toml").write_text(text, encoding="utf-8")


def names() -> list[str]:
    """Make all mistakes that mutmut knows, and list them."""
    from mutmut.__main__ import create_mutants
    from mutmut.mutation.data import SourceFileMutationData
    from mutmut.utils.file_utils import copy_src_dir

    with redirect_stdout(StringIO()):
        copy_src_dir()
        create_mutants(1)
    found: list[str] = []
    for path in sorted(Path("voiceassist").rglob("*.py")):
        data = SourceFileMutationData(path=path)
        data.load()
        found += data.exit_code_by_key
    return found


def sampled(every: Sequence[str], sample: int, seed: int) -> Sequence[str]:
    """So many of them; all when there are no more."""
    return random.Random(seed).sample(every, sample) if 0 < sample < len(every) else every


def unseen(tried: Sequence[str], room: str, without: Sequence[str] = ()) -> list[str]:
    """Those which no test sees."""
    left: list[str] = []

    def tell(name: str, by: str | None) -> None:
        print(f"{name}: {by or 'NOTHING'}", flush=True)
        if by is None:
            left.append(name)

    here = Path("mutants").absolute()
    os.environ["PYTHONPATH"] = f"{here}{os.pathsep}{here / 'tests'}"
    sys.path[:0] = [str(here), str(here / "tests")]
    trial = Trial([found(name) for name in tried], tell)
    call = [f"tests/{room}", "-m", _QUICK, "-p", "no:cacheprovider", "--deselect", _OF_NAMES]
    call += [f"--deselect={name}" for name in without]
    with chdir(here), tempfile.TemporaryDirectory() as scratch:
        call += ["-q", "-s", "-o", "tmp_path_retention_policy=none", "--basetemp", scratch]
        if pytest.main(call, plugins=[trial]) != pytest.ExitCode.OK:
            raise SystemExit("the tests could not be tried")
        for name in trial.anew:
            tell(name, "a process that begins anew" if seen_anew(name, call) else None)
        unmount(scratch)
    return left


def unmount(scratch: str) -> None:
    """Let go of what a test had mounted there when it was ended."""
    for line in Path("/proc/mounts").read_text(encoding="utf-8").splitlines():
        if line.split()[1].startswith(scratch):
            subprocess.run(["umount", line.split()[1]], check=False)


def seen_anew(name: str, call: Sequence[str]) -> bool:
    """Whether all quick tests of the room see it, in a process of their own."""
    whole = [sys.executable, "-m", "pytest", "-x", *call]
    env = os.environ | {"MUTANT_UNDER_TEST": name}
    try:
        done = subprocess.run(whole, env=env, capture_output=True, timeout=_PATIENCE_S, check=False)
    except subprocess.TimeoutExpired:
        return True
    return done.returncode != 0


def found(name: str) -> Mistake:
    """Where the code that a mistake changes lies in the copy."""
    from mutmut.mutation.data import MutantLineSpans
    from mutmut.mutation.diff_apply import generated_function_names

    path = source(name)
    spans = MutantLineSpans.load(path)
    assert spans
    both = generated_function_names(name)
    before, after = spans.read_function_sources(both)
    start = spans.span_by_function_name[both[0]].start
    return Mistake(name, str(Path("mutants", path).absolute()), lines_of(before, after, start))


def difference(name: str) -> str:
    """What a mistake changes."""
    from mutmut.mutation.diff_apply import get_diff_for_mutant

    changed: str = get_diff_for_mutant(name, path=source(name))
    return changed


def source(name: str) -> Path:
    """The file that a mistake is made in."""
    module = Path(*name.split(".")[:-1])
    return module / "__init__.py" if module.is_dir() else module.with_suffix(".py")


def interval(seen: int, tried: int) -> tuple[float, float]:
    """Wilson's of 95 %, for the share of all from which so many were drawn."""
    z, share = 1.96, seen / tried
    middle = share + z * z / (2 * tried)
    half = z * sqrt(share * (1 - share) / tried + z * z / (4 * tried * tried))
    return (middle - half) / (1 + z * z / tried), (middle + half) / (1 + z * z / tried)


if __name__ == "__main__":
    main()
