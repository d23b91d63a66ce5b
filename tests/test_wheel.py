"""What is shipped: the wheel and the source archive, not the checkout."""

import os
import subprocess
import sys
import tarfile
import zipfile
from pathlib import Path

import pytest

HOUSE = Path(__file__).parents[1]
#: It takes a minute to build and to install, so it is CI that does.
pytestmark = [pytest.mark.slow, pytest.mark.census]
_QUICK_BUILD = """
import runpy, zlib
squeezing = zlib.compressobj
zlib.compressobj = lambda _level=1, *how: squeezing(1, *how)
runpy.run_module("hatchling", run_name="__main__")
"""


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the wheel and the source archive, squeezed but a little, which is quicker."""
    folder = tmp_path_factory.mktemp("dist")
    subprocess.run(
        [sys.executable, "-c", _QUICK_BUILD, "build", "-d", str(folder)],
        cwd=HOUSE,
        check=True,
        capture_output=True,
    )
    return folder


def tracked(folder: str) -> set[str]:
    return {
        path.relative_to(HOUSE / folder).as_posix()
        for path in (HOUSE / folder).rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }


def test_the_wheel_holds_every_grammar_procedure_and_demo_sound(built: Path) -> None:
    (wheel,) = built.glob("*.whl")
    names = set(zipfile.ZipFile(wheel).namelist())
    for folder, inside in (
        ("grammars", "grammars"),
        ("procedures", "procedures"),
        ("audio_fixtures/demo", "demo"),
    ):
        assert {f"voiceassist/_data/{inside}/{name}" for name in tracked(folder)} <= names
    templates = tracked("voiceassist/page/templates")
    assert templates
    assert {f"voiceassist/page/templates/{name}" for name in templates} <= names
    assert "voiceassist/py.typed" in names
    assert not any(name.startswith(("tests/", "audio_fixtures/")) for name in names)


def test_the_wheel_works_without_the_checkout(built: Path, tmp_path: Path) -> None:
    (wheel,) = built.glob("*.whl")
    zipfile.ZipFile(wheel).extractall(tmp_path / "site")
    done = subprocess.run(
        [
            sys.executable,
            "-c",
            "from voiceassist.cli.main import main; main(['check', 'heater-fan-module'])",
        ],
        capture_output=True,
        text=True,
        check=False,
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(tmp_path / "site")},
    )
    assert done.returncode == 0, done.stderr
    assert str(tmp_path / "site") in done.stdout


def test_the_source_archive_holds_what_it_lists_and_no_more(built: Path) -> None:
    (archive,) = built.glob("*.tar.gz")
    with tarfile.open(archive) as tar:
        tops = {name.split("/")[1] for name in tar.getnames() if "/" in name}
    assert tops == {
        ".ci", ".gitignore", "CHANGELOG.md", "DEVELOPERS.md", "LICENSE", "PKG-INFO", "README.md",
        "SAYINGS.md", "audio_fixtures", "docs", "grammars", "procedures", "pyproject.toml", "tests",
        "training", "voiceassist",
    }  # fmt: skip
