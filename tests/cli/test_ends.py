"""Standard input that is closed, and standard output with no room: a sentence, no traceback."""

import subprocess
import sys
from pathlib import Path

import pytest
from running import call, call_at_a_terminal

FULL = Path("/dev/full")
needs_full = pytest.mark.skipif(not FULL.exists(), reason="there is no /dev/full here")


@needs_full
@pytest.mark.parametrize(
    "arguments",
    [("--help",), ("understand", "done"), ("grammar", "forms"), ("new", "lamp", "--json")],
)
def test_output_that_finds_no_room_is_told_in_one_sentence(
    tmp_path: Path, arguments: tuple[str, ...]
) -> None:
    with FULL.open("w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "voiceassist", *arguments],
            stdout=full, stderr=subprocess.PIPE, cwd=tmp_path, text=True, timeout=60, check=False,
        )  # fmt: skip
    assert done.returncode == 2
    assert done.stderr == "standard output: it cannot be written: No space left on device\n"


def with_closed_input(*arguments: str) -> "subprocess.CompletedProcess[str]":
    """Run the command with no standard input at all."""
    program = (
        "import os, sys; os.close(0); "
        "os.execv(sys.executable, [sys.executable, '-m', 'voiceassist', *sys.argv[1:]])"
    )
    return subprocess.run(
        [sys.executable, "-c", program, *arguments],
        capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip


def test_lines_cannot_be_typed_into_an_input_that_is_closed(tmp_path: Path) -> None:
    done = with_closed_input("run", "heater-fan-module", "--typed", "--records", str(tmp_path))
    assert done.returncode == 2
    assert done.stderr.startswith("--typed: standard input is closed; ")
    assert not list(tmp_path.iterdir())


def test_without_a_device_and_a_terminal_the_way_to_type_is_told(tmp_path: Path) -> None:
    if call("soundcheck", "--list").returncode != 2:
        pytest.skip("this computer has sound devices")
    done = call("run", "heater-fan-module", "--silent", "--records", str(tmp_path))
    assert done.returncode == 2
    assert "--typed" in done.stderr


def test_what_is_missing_is_told_once_when_a_job_goes_on_typed(tmp_path: Path) -> None:
    told = call_at_a_terminal(
        "run",
        "heater-fan-module",
        "--records",
        str(tmp_path),
        typed="affirm\nfinish\naffirm\nfinish\n",
    ).stderr
    assert "type what you would say" in told
    assert told.count("The session goes on in text.") == 1


@pytest.mark.parametrize("fact", ["=x", " =x", "vehicle"])
def test_a_fact_without_a_name_is_refused(tmp_path: Path, fact: str) -> None:
    done = call(
        "run", "heater-fan-module", "--typed", "--silent", "--set", fact, "--records", str(tmp_path)
    )
    assert done.returncode == 2
    assert done.stderr.startswith(f"--set: found {fact!r}; ")


@pytest.mark.parametrize("group", [(), ("records",), ("grammar",)])
def test_the_list_of_commands_cuts_no_sentence_off(group: tuple[str, ...]) -> None:
    listed = call(*group, "--help", COLUMNS="80").stdout.partition("Commands:")[2]
    assert listed
    assert "..." not in listed


def test_a_grammar_is_exported_in_a_form_named_as_elsewhere() -> None:
    done = call("grammar", "export", "--as", "words")
    assert done.returncode == 0
    assert "volts" in done.stdout.split()
