"""The worked example of the writing guide, done line by line: its files and its commands."""

import re
import shlex
from collections.abc import Iterator
from pathlib import Path

import pytest
from running import Done, call

from voiceassist.measure.units import QUANTITIES, units_of

GUIDE = (Path(__file__).parents[2] / "procedures" / "WRITING.md").read_text(encoding="utf-8")
PART = GUIDE[GUIDE.index("## Write, prove and try") :]
BLOCKS = re.findall(r"```(\w+)\n(.*?)```", PART, re.DOTALL)
FILE = "horn.yaml"
#: The one command whose answer is a fault: it shows a mistake.
MISTAKES = 1


def written(before: str, block: str) -> str:
    """The file with ``block`` in it: a whole file, a step in its place, or more at the end."""
    if block.startswith("procedure:"):
        return block
    step = re.match(r"  [a-z-]+:\n", block)
    if step is None:
        return f"{before}\n{block}"
    old = re.compile(rf"^{step[0]}.*?(?=^\n|^  \w|^\w)", re.DOTALL | re.MULTILINE)
    assert len(old.findall(before)) == 1
    return old.sub(lambda _: block, before)


def done(line: str, shown: str) -> Done:
    """The command of ``line``, given what ``shown`` has after each prompt."""
    program, *arguments = shlex.split(line)
    assert program == "voiceassist"
    typed = re.findall(r"^> (.*)$", shown, re.MULTILINE)
    return call(*arguments, typed="".join(f"{said}\n" for said in typed))


def cut(found: str, shown: str) -> str:
    """What was found, ended where the guide ends it with dots."""
    head, dots, _ = shown.rstrip().rpartition("  ...")
    return head + dots if dots and found.startswith(head) else found.rstrip()


def commands() -> Iterator[tuple[str, str]]:
    """Each command with what the guide shows below it; the files are written on the way."""
    for (kind, block), (_, after) in zip(BLOCKS, [*BLOCKS[1:], ("", "")], strict=True):
        if kind == "yaml":
            file = Path(FILE)
            file.write_text(written(file.read_text("utf-8"), block), "utf-8")
        if kind == "sh":
            yield block.strip(), after


@pytest.mark.slow
def test_the_example_does_what_the_guide_shows(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    monkeypatch.setenv("VOICEASSIST_RECORDS", str(tmp_path / "records"))
    failed = 0
    for line, shown in commands():
        found = done(line, shown)
        assert cut(found.stdout, shown) == shown.rstrip(), line
        assert found.returncode in {0, 1}, found.stderr
        failed += found.returncode
    assert failed == MISTAKES


def test_the_example_ends_well_and_shows_three_steps_five_parts_and_four_faults() -> None:
    whole = ""
    for kind, block in BLOCKS:
        whole = written(whole, block) if kind == "yaml" else whole
    steps, parts, faults = (
        re.findall(r"^ +[a-z -]+:", found[1], re.MULTILINE) if found else []
        for found in (
            re.search(r"^steps:\n((?:(?:  [a-z]+:\n|    .*\n|\n))+)", whole, re.MULTILINE),
            re.search(r"^  parts:\n((?:    .*\n)+)", whole, re.MULTILINE),
            re.search(r"^faults:\n((?:  .*\n)+)", whole, re.MULTILINE),
        )
    )
    assert len([line for line in steps if line.startswith("  ") and line[2] != " "]) == 3
    assert (len(parts), len(faults)) == (5, 4)


def test_the_guide_lists_every_unit_that_is_spoken() -> None:
    table = GUIDE.split("<!-- units -->")[1].split("\n\n")[0]
    listed = set(re.findall(r"`([^`]+)`", table))
    units = [one for quantity in QUANTITIES for one in units_of(quantity)]
    prefixed = {one for one in units if one.symbol != one.base and one.symbol.endswith(one.base)}
    assert [one.symbol for one in units if one not in prefixed and one.symbol not in listed] == []
