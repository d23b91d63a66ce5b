"""The commands, as a user or a program calls them."""

from pathlib import Path

import pytest
import running
from running import Done, lines

from voiceassist.app.desk.understand import in_words, understand_words

HOUSE = Path(__file__).parents[2]
PHRASES = HOUSE / "audio_fixtures" / "demo"
TYPED_TO_FEED = "affirm\ndone\ntwelve point six volts\naffirm\ndone\n"


def call(*arguments: str, typed: str = "", records: Path | None = None, **variables: str) -> Done:
    """The same, with a folder of records."""
    extra = ["--records", str(records)] if records else []
    return running.call(*arguments, *extra, typed=typed, **variables)


# --- understand ---


def test_understand_gives_the_meanings_as_json() -> None:
    done = call("understand", "eight point four volts", "--json")
    (found,) = lines(done)
    assert done.returncode == 0
    assert found["text"] == "eight point four volts"
    assert found["ambiguous"] is False
    meaning = found["meanings"][0]
    assert (meaning["kind"], meaning["value"], meaning["unit"]) == ("reading", "8.4", "V")


def test_understand_says_why_nothing_was_understood() -> None:
    done = call("understand", "fifty fifty", "--json")
    (found,) = lines(done)
    assert done.returncode == 1
    assert found["meanings"] == []
    assert found["reason"]


@pytest.mark.parametrize(
    ("said", "shown"),
    [
        ("eight point four volts", ["reading: 8.4 V"]),
        ("it jumps between twelve point one and twelve point four", ["reading: 12.1 to 12.4"]),
        ("two point one, three point three volts", ["reading: 2.1 V, 3.3 V"]),
        ("correction eight point nine", ["reading: correction to 8.9"]),
        ("twelve six", ["reading: 12.6", "reading: 126"]),
        ("say again", ["command: repeat"]),
        ("note the fuse is hot", ["note: the fuse is hot"]),
    ],
)
def test_understand_tells_people_in_words(said: str, shown: list[str]) -> None:
    found = understand_words(said)
    assert in_words(found) == shown


def test_understand_prints_those_words() -> None:
    done = call("understand", "eight point four volts")
    assert (done.returncode, done.stdout) == (0, "reading: 8.4 V\n")


def test_understand_may_be_narrowed_to_a_step() -> None:
    arguments = ["--procedure", "heater-fan-module", "--step", "feed-lamp"]
    assert call("understand", "bright", *arguments).returncode == 0
    assert call("understand", "twelve volts", *arguments).returncode == 1


# --- check ---


#: Steps whose limit parts a number in -teen from the one in -ty, such as 16 Ω and 60 Ω at 54 Ω.
SOUND_ALIKE = {
    "can-termination": [  # 54 Ω, 130 Ω and 90 Ω
        "line", "door-line", "one-end", "front-end", "other-end", "rear-end", "without-front",
    ],
    "blower-resistors": ["full-speed"],  # a motor of some 18 A
    "charging-by-module": ["charge-volts"],  # 13 V and more
    "coil-or-injector": ["injector-ohms"],  # some 14 Ω
    "dim-headlamp-lorry": ["fuse-drop"],  # 150 mV
    "drop-test": [  # shares of a battery of 12 V
        "feed-drop", "earth-drop", "earth-volts", "first-half", "fuse-drop", "switch-drop",
        "ring-half", "ring-drop", "ring-volts", "strap-volts",
    ],
    "engine-fan": ["bridged", "running-earth", "coil"],  # 15 A, by its current, 120 Ω
    "fuel-pump-pwm": ["command-low", "command-high"],  # 25 % and 75 %
    "glow-plugs": ["plug-one", "plug-two", "plug-three", "plug-four"],  # some 15 A each
    "heater-fan-module": ["working-feed", "working-earth"],  # by the current of the motor
    "key-off-draw": [  # a fact of 50 mA, and shares of what was drawn before
        "draw", "without-one", "without-two", "without-three", "without-four", "without-charging",
        "without-all", "lid-lamp", "radio",
    ],
    "relay-and-socket": ["coil", "working-feed", "lamp-earth"],  # 120 Ω, by the lamps' current
    "slow-cranking-lorry": [  # 330 A, shares of a battery of 24 V, 250 mV, 2 * 12 V
        "crank-current", "first-load", "second-load", "motor-fed", "minus-drop", "control",
    ],
    "wheel-speed-sensor": ["high-current"],  # 14 mA
}  # fmt: skip


def test_check_passes_the_shipped_procedures() -> None:
    done = call("check", str(HOUSE / "procedures"), "--json", "--no-proof")
    assert done.returncode == 0
    told: dict[str, list[str]] = {}
    for report in lines(done):
        for problem in report["problems"]:
            assert "sound alike and lie either side of the limit" in problem["message"]
            assert problem["message"].endswith("; the session asks for single digits there")
            told.setdefault(str(report["procedure"]), []).append(problem["path"])
    assert told == {
        name: [f"steps.{step}.accept" for step in steps] for name, steps in SOUND_ALIKE.items()
    }


def test_check_names_every_fault_with_its_line(tmp_path: Path) -> None:
    text = (HOUSE / "procedures" / "heater-fan-module.yaml").read_text(encoding="utf-8")
    file = tmp_path / "mine.yaml"
    file.write_text(
        text.replace("title:", "titel:").replace("low: charge-first", "low: charge-frist"), "utf-8"
    )
    done = call("check", str(file), "--json")
    (report,) = lines(done)
    assert done.returncode == 1
    messages = [problem["message"] for problem in report["problems"]]
    assert any("did you mean 'title'" in message for message in messages)
    assert any("did you mean 'charge-first'" in message for message in messages)


# --- hear ---


def test_hear_gives_what_was_heard_as_json() -> None:
    file = str(PHRASES / "13-command-slow.wav")
    done = call("hear", file, "--expect", "voltage", "--json")
    (found,) = lines(done)
    assert done.returncode == 0
    assert found["file"] == file
    assert found["listener"] == "ear"
    assert found["decision"] == "accept"
    assert found["meaning"]["value"] == "8.4"
    assert found["candidates"][0]["words"] == "eight point four volts"
    assert float(str(found["audio_s"])) > 1


# --- run ---


def test_a_typed_session_tells_each_event_as_json(tmp_path: Path) -> None:
    typed = TYPED_TO_FEED + "eleven point two volts\nnegative\ndone\n"
    done = call(
        "run", "heater-fan-module", "--typed", "--silent", "--json", typed=typed, records=tmp_path
    )
    found = lines(done)
    assert done.returncode == 0
    assert all({"event", "at", "step", "text"} <= line.keys() for line in found)
    kinds = {str(line["event"]) for line in found}
    assert {"say", "caution", "heard", "ask", "reading", "verdict", "condition", "finding"} <= kinds
    verdict = [line for line in found if line["event"] == "verdict"][-1]
    assert (verdict["reading"], verdict["limit"], verdict["verdict"]) == (
        "11.2 V",
        "12.1 V to 12.8 V",
        "low",
    )
    end = found[-1]
    assert (end["event"], end["outcome"]) == ("end", "found")
    assert Path(str(end["record"])).parent == tmp_path


def test_the_record_is_complete_when_a_session_ends(tmp_path: Path) -> None:
    typed = TYPED_TO_FEED + "eleven point two volts\nnegative\ndone\n"
    call("run", "heater-fan-module", "--typed", "--silent", typed=typed, records=tmp_path)
    (folder,) = tmp_path.iterdir()
    assert {path.name for path in folder.iterdir()} == {
        "journal.jsonl",
        "meter.yaml",
        "procedure.yaml",
        "report.html",
        "report.txt",
        "transcript.txt",
        "transcript.vtt",
    }
    report = (folder / "report.txt").read_text(encoding="utf-8")
    assert "The supply to the fan module is weak or missing" in report
    assert "vehicle maker's instructions" in report


def test_job_facts_reach_the_report(tmp_path: Path) -> None:
    facts = ["--set", "repair order=1042", "--set", "vehicle=number 7"]
    typed = TYPED_TO_FEED + "eleven point two volts\nnegative\ndone\n"
    call("run", "heater-fan-module", "--typed", "--silent", *facts, typed=typed, records=tmp_path)
    (folder,) = tmp_path.iterdir()
    assert "repair order: 1042" in (folder / "report.txt").read_text(encoding="utf-8")


def test_a_session_whose_input_ends_goes_on_with_resume(tmp_path: Path) -> None:
    first = call(
        "run", "heater-fan-module", "--typed", "--silent", typed=TYPED_TO_FEED, records=tmp_path
    )
    assert first.returncode == 1
    assert "--resume" in first.stderr
    second = call(
        "run",
        "--resume",
        "--typed",
        "--silent",
        typed="eleven point two volts\nnegative\ndone\n",
        records=tmp_path,
    )
    assert second.returncode == 0
    assert "Going on where we stopped." in second.stdout
    assert "Voltage from feed pin" in second.stdout
    assert len(list(tmp_path.iterdir())) == 1


def test_sound_files_are_heard_in_turn(tmp_path: Path) -> None:
    files = [str(PHRASES / f"{name}.wav") for name in ("01-affirm", "20-done", "04-correction")]
    answers = tmp_path / "answers.wav"
    done = call(
        "run", "heater-fan-module", "--audio", *files, "--voice-out", str(answers), "--json",
        records=tmp_path / "records",
    )  # fmt: skip
    heard = [line["words"] for line in lines(done) if line["event"] == "heard"]
    assert heard == ["affirm", "done", "correction twelve point six volts"]
    assert answers.stat().st_size > 100_000


# --- wrong use ---


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (["run", "no-such"], "There is no procedure 'no-such'"),
        (["run", "none.yaml"], "there is no such file"),
        (["run"], "No procedure is named."),
        (["run", "heater-fan-module", "--typed", "--audio", "a.wav"], "choose one of them"),
        (["run", "heater-fan-module", "--typed", "--set", "vehicle"], "write it like --set"),
        (
            ["run", "heater-fan-module", "--set", "technician=Kim", "--set", "technician=Lee"],
            "is given twice",
        ),
        (
            ["run", "heater-fan-module", "--set", "Repair-Order=1", "--set", "repair order=2"],
            "'Repair-Order' and 'repair order' are one fact; give it once",
        ),
        (["run", "heater-fan-module", "--typed", "--detail", "loud"], "choose brief, normal"),
        (["run", "heater-fan-module", "--audio", "none.wav"], "there is no such file"),
        (["run", "heater-fan-module", "--audio", "README.md"], "this is not a sound file"),
        (["run", "heater-fan-module", "--listener", "nobody", "--audio", "X"], "'nobody'"),
        (["run", "--resume", "--typed"], "there is no unfinished session"),
        (["understand", "one", "--expect", "colour"], "'colour' is not a known quantity"),
        (["understand", "one", "--procedure", "heater-fan-module"], "give both"),
        (["understand", "one", "--language", "xx"], "no grammar for the language 'xx'"),
        (["check", "none.yaml"], "there is no such file"),
        (["check", "no-such"], "no shipped procedure called 'no-such'"),
        (["hear", "none.wav"], "there is no such file"),
        (["dance"], "No such command"),
        (["run", "--loud"], "No such option"),
    ],
)
def test_wrong_use_gets_a_sentence_and_exit_code_two(
    tmp_path: Path, arguments: list[str], sentence: str
) -> None:
    sound = str(PHRASES / "01-affirm.wav")
    arguments = [
        sound if a == "X" else str(HOUSE / a) if a == "README.md" else a for a in arguments
    ]
    records = tmp_path / "records" if arguments[0] == "run" else None
    done = call(*arguments, records=records)
    assert done.returncode == 2, done.stderr
    assert sentence in done.stderr
    assert "Traceback" not in done.stderr
    assert done.stdout == ""


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (
            ["rnu", "heater"],
            "No such command 'rnu': try 'voiceassist run' or 'voiceassist --help'.",
        ),
        (
            ["heater"],
            "No such command 'heater': try 'voiceassist run heater' or 'voiceassist --help'.",
        ),
        (["xyzzy"], "No such command 'xyzzy': try 'voiceassist --help'."),
        (
            ["list"],
            "No such command 'list': try 'voiceassist records list' or 'voiceassist --help'.",
        ),
        (
            ["records", "lst"],
            "No such command 'lst': try 'voiceassist records list'"
            " or 'voiceassist records --help'.",
        ),
        (["check"], "Missing argument 'procedures': see 'voiceassist check --help'."),
    ],
)
def test_an_unknown_word_gets_one_sentence_with_the_nearest_that_would_do(
    arguments: list[str], sentence: str
) -> None:
    done = call(*arguments)
    assert done.returncode == 2
    assert done.stderr.splitlines() == [sentence]


def test_a_bad_sound_file_stops_before_a_record_is_begun(tmp_path: Path) -> None:
    call("run", "heater-fan-module", "--audio", "none.wav", records=tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_silence_is_told_from_speech(tmp_path: Path) -> None:
    import wave

    quiet = tmp_path / "quiet.wav"
    with wave.open(str(quiet), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(16_000)
        file.writeframes(bytes(32_000))
    done = call("run", "heater-fan-module", "--audio", str(quiet), records=tmp_path / "r")
    assert done.returncode == 2
    assert "there is no speech in it" in done.stderr


def test_without_espeak_the_session_goes_on_in_text(tmp_path: Path) -> None:
    done = call(
        "run", "heater-fan-module", "--audio", str(PHRASES / "01-affirm.wav"),
        records=tmp_path, PATH="/nonexistent",
    )  # fmt: skip
    assert "espeak-ng" in done.stderr
    assert "goes on in text" in done.stderr
    assert "Key off." in done.stdout


@pytest.mark.parametrize("command", ["demo", "run", "check", "understand", "hear"])
def test_every_command_has_help_and_json(command: str) -> None:
    done = call(command, "--help")
    assert done.returncode == 0
    assert "--json" in done.stdout


def test_the_version_is_told() -> None:
    from voiceassist import __version__

    assert call("--version").stdout.strip() == f"voiceassist {__version__}"


def test_a_wrong_name_is_told_before_any_device_is_asked(tmp_path: Path) -> None:
    done = call("run", "nosuch", "--typed", records=tmp_path)
    assert done.returncode == 2
    assert len(done.stderr.strip().splitlines()) == 1
