"""``voiceassist hear`` on several utterances, several files, and files that are none."""

import json
import re
from pathlib import Path

import pytest
from running import call, lines

from voiceassist.devices.wav import read_clip, write_clip
from voiceassist.sound.clip import Clip

PHRASES = Path(__file__).parents[2] / "audio_fixtures" / "demo"
READING, AGAIN = PHRASES / "13-command-slow.wav", PHRASES / "07-say-again.wav"


@pytest.fixture
def two(tmp_path: Path) -> Path:
    """A reading, 1.5 s of quiet, and "say again"."""
    file = tmp_path / "two.wav"
    write_clip(file, read_clip(READING) + Clip.silence(1.5) + read_clip(AGAIN))
    return file


def test_a_file_with_one_utterance_gives_one_line(two: Path) -> None:
    (found,) = lines(call("hear", str(READING), "--expect", "voltage", "--json"))
    assert found["candidates"][0]["words"] == "eight point four volts"
    assert "start_s" not in found
    assert found["audio_s"] == round(read_clip(READING).seconds, 3)


def test_a_file_with_several_gives_a_line_for_each_with_its_place(two: Path) -> None:
    done = call("hear", str(two), "--expect", "voltage", "--json")
    first, second = lines(done)
    assert [line["candidates"][0]["words"] for line in (first, second)] == [
        "eight point four volts", "say again"
    ]  # fmt: skip
    assert first["file"] == second["file"] == str(two)
    behind = read_clip(READING).seconds
    assert 0 < first["start_s"] < first["end_s"] < behind
    assert behind + 1.5 < second["start_s"] < second["end_s"] < read_clip(two).seconds


def test_for_people_the_place_stands_beside_the_file(two: Path) -> None:
    shown = call("hear", str(two), "--expect", "voltage").stdout.splitlines()
    assert len(shown) == 2
    assert shown[1].startswith(f"{two} at ")
    assert re.search(r": (accept|ask): say again \(\d\d%\)", shown[1])


def test_each_understanding_stands_there_once_with_its_own_probability() -> None:
    candidates = lines(call("hear", str(READING), "--expect", "voltage", "--json"))[0]["candidates"]
    meanings = [json.dumps(each["meaning"]) for each in candidates if each["meaning"]]
    assert len(set(meanings)) == len(meanings)
    likely = [each["probability"] for each in candidates]
    assert likely == sorted(likely, reverse=True)
    assert sum(likely) <= 1
    words = [each["words"] for each in candidates] + [
        w for each in candidates for w in each["also"]
    ]
    assert len(set(words)) == len(words)


def test_two_that_would_be_asked_about_are_both_shown() -> None:
    fifty = PHRASES.parent / "phrases" / "r11.wav"
    shown = call("hear", str(fifty), "--expect", "voltage", "--listener", "sphinx").stdout
    assert re.search(r": ask: .+ \(\d+%\) or .+ \(\d+%\)$", shown.strip())


@pytest.mark.parametrize("listener", ["ear", "sphinx"])
@pytest.mark.parametrize("model", ["nothing", "."])
def test_a_model_that_no_listener_takes_is_refused(listener: str, model: str) -> None:
    done = call("hear", str(AGAIN), "--listener", listener, "--model", model)
    assert (done.returncode, done.stdout) == (2, "")
    assert (
        f"--model: the listener '{listener}' hears with its own model; leave it out" in done.stderr
    )


def test_a_bad_file_does_not_stop_the_others(tmp_path: Path) -> None:
    text = tmp_path / "text.wav"
    text.write_text("no sound")
    done = call("hear", "none.wav", str(AGAIN), str(text), "--json")
    missing, good, broken = lines(done)
    assert done.returncode == 2
    assert missing["error"] == "none.wav: there is no such file; check its name"
    assert good["meaning"]["name"] == "repeat"
    assert broken["file"] == str(text)
    assert "this is not a sound file" in broken["error"]


def test_what_is_not_understood_is_a_problem_and_no_wrong_use(tmp_path: Path) -> None:
    quiet = tmp_path / "quiet.wav"
    write_clip(quiet, Clip.silence(1))
    done = call("hear", str(quiet), str(AGAIN), "--json")
    assert done.returncode == 1
    assert [line["decision"] for line in lines(done)] == ["reject", "accept"]


@pytest.mark.parametrize(
    "arguments", [["hear", str(AGAIN)], ["run", "heater-fan-module", "--typed", "--silent"]]
)
def test_an_unknown_listener_is_refused_typed_or_not(arguments: list[str], tmp_path: Path) -> None:
    records = ["--records", str(tmp_path / "r")] if arguments[0] == "run" else []
    done = call(*arguments, "--listener", "nobody", *records, typed="affirm\n")
    assert (done.returncode, done.stdout) == (2, "")
    assert "there is no listener 'nobody'; use one of: " in done.stderr
    assert not (tmp_path / "r").exists()
