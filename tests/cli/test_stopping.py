"""A signal at any moment: no traceback, the record closed, one sentence how to go on."""

import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from running import call, call_at_a_terminal, lines

from voiceassist.cli.stopping import Stopped, stop_behind

RESUME = "voiceassist run --resume"


def started(records: Path, *more: str) -> "subprocess.Popen[str]":
    return subprocess.Popen(
        [sys.executable, "-m", "voiceassist", "run", "heater-fan-module", "--typed", "--silent",
         "--json", "--records", str(records), *more],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip


def wait_for(process: "subprocess.Popen[str]", event: str) -> None:
    assert process.stdout is not None
    for line in process.stdout:
        if f'"event": "{event}"' in line:
            return
    raise AssertionError(f"no {event} came")


def wait_until_it_catches(process: "subprocess.Popen[str]", number: signal.Signals) -> None:
    """Until the program has said what is to be done at a signal, as Linux lists it in hex."""
    status = Path("/proc") / str(process.pid) / "status"
    for _ in range(2000):
        (caught,) = [line for line in status.read_text().splitlines() if "SigCgt" in line]
        if int(caught.split()[1], 16) & 1 << (number - 1):
            return
        time.sleep(0.005)
    raise AssertionError(f"{number.name} is never caught")


@pytest.mark.parametrize(
    ("number", "code"), [(signal.SIGINT, 130), (signal.SIGTERM, 143), (signal.SIGHUP, 129)]
)
def test_a_session_that_is_stopped_can_go_on(
    tmp_path: Path, number: signal.Signals, code: int
) -> None:
    process = started(tmp_path)
    assert process.stdin is not None
    process.stdin.write("affirm\ndone\n")
    process.stdin.flush()
    wait_for(process, "condition")
    process.send_signal(number)
    _, told = process.communicate(timeout=20)
    assert process.returncode == code
    assert "Traceback" not in told
    assert told.count(RESUME) == 1
    assert str(tmp_path) in told
    (folder,) = tmp_path.iterdir()
    assert (folder / "report.txt").is_file()  # made at the end, whatever the end is
    resumed = call("run", "--resume", "--typed", "--silent", "--json", "--records", str(tmp_path))
    assert "returned" in [line["event"] for line in lines(resumed)]


@pytest.mark.slow
def test_a_signal_while_the_program_starts_leaves_no_traceback(tmp_path: Path) -> None:
    for number in range(16):
        process = started(tmp_path / str(number))
        # From the program's first line (the interpreter's own start is not ours to guard) to the
        # running session.
        wait_until_it_catches(process, signal.SIGTERM)
        time.sleep(number * 0.05)
        process.send_signal(signal.SIGTERM if number % 2 else signal.SIGINT)
        # Its input stays open meanwhile: at the end of that a session would end by itself.
        with process:  # its pipes are closed even where it ended otherwise
            code = process.wait(timeout=20)
            assert process.stderr is not None
            told = process.stderr.read()
        assert code in {130, 143}, told
        assert "Traceback" not in told
        assert "Exception ignored" not in told


def test_a_stop_while_a_class_is_made_is_a_stop() -> None:
    class Stopping:
        def __set_name__(self, owner: type, name: str) -> None:
            raise Stopped(130)

    with pytest.raises(RuntimeError) as caught:
        type("Made", (), {"part": Stopping()})
    behind = stop_behind(caught.value)
    assert behind is not None
    assert behind.code == 130
    assert stop_behind(RuntimeError("ours to mend")) is None


_IN_A_FINALIZER = """
import os, signal, time
from voiceassist.cli.stopping import Stopped, stop_in_order
stop_in_order()
class Fading:
    def __del__(self):
        os.kill(os.getpid(), signal.SIGTERM)
        time.sleep(0.01)
try:
    Fading()
    time.sleep(10)
except Stopped as stopped:
    print(stopped.code)
"""


def test_a_stop_that_comes_where_nothing_can_be_raised_is_raised_a_moment_later() -> None:
    done = subprocess.run(
        [sys.executable, "-c", _IN_A_FINALIZER],
        capture_output=True, text=True, timeout=20, check=False,
    )  # fmt: skip
    assert (done.stdout, done.stderr) == ("143\n", "")


def test_a_signal_that_whoever_started_us_ignores_is_ignored(tmp_path: Path) -> None:
    """As ``nohup`` does."""
    before = signal.signal(signal.SIGHUP, signal.SIG_IGN)
    try:
        process = started(tmp_path)
    finally:
        signal.signal(signal.SIGHUP, before)
    wait_for(process, "caution")
    process.send_signal(signal.SIGHUP)
    process.communicate(input="", timeout=20)
    assert process.returncode == 1


def test_help_tells_the_exit_codes() -> None:
    told = " ".join(call("run", "--help").stdout.split())
    assert "130 or 143" in told


def test_a_minus_is_no_option() -> None:
    (found,) = lines(call("understand", "-3.2", "--json"))
    assert found["meanings"][0]["value"] == "-3.2"
    assert call("understand", "--foo").returncode == 2


@pytest.mark.parametrize(
    ("arguments", "found"),
    [
        (["--silent", "--voice-out", "a.wav"], "--silent and --voice-out were both given"),
        (["--voice-out", "."], ".: this is a folder; name a sound file"),
        (["--duplex", "both"], "duplex is 'both'; choose half or full"),
        (["--volume", "500"], "volume is '500'; choose 30 to 200"),
        (["--tones", "loud"], "tones is 'loud'; choose on or off"),
        (["--talk", "loudly"], "talk is 'loudly'; choose open, name or key"),
        (["--pause", "3"], "pause_s is '3'; choose 0.4 to 1.2 seconds"),
        (["--prompt-after", "-1"], "prompt_after_s is '-1'; choose 0 to 3600 seconds"),
        (["--tail", "soon"], "tail_s is 'soon'; choose 0 to 3 seconds"),
    ],
)
def test_options_that_cannot_be_are_told(tmp_path: Path, arguments: list[str], found: str) -> None:
    done = call("run", "heater-fan-module", "--typed", *arguments, "--records", str(tmp_path))
    assert done.returncode == 2
    assert found in done.stderr
    assert not list(tmp_path.iterdir())


def test_another_meter_is_refused_in_a_job_that_goes_on(tmp_path: Path) -> None:
    call("run", "heater-fan-module", "--typed", "--silent", "--records", str(tmp_path))
    done = call(
        "run", "--resume", "--typed", "--silent", "--meter", "ordinary", "--records", str(tmp_path)
    )
    assert done.returncode == 2
    assert "a job keeps the meter it was begun with" in done.stderr


def test_a_voice_that_was_chosen_is_kept_when_the_job_goes_on(tmp_path: Path) -> None:
    records = ("--records", str(tmp_path))
    opened = call(
        "run", "heater-fan-module", "--typed", "--silent", "--json", "--rate", "200",
        "--volume", "60", *records, typed="speak slower\n",
    )  # fmt: skip
    header = lines(opened)[0]
    assert (header["rate_wpm"], header["volume"]) == (200, 60)
    assert call("run", "--resume", "--typed", "--silent", *records).returncode == 1


def test_without_a_microphone_a_job_at_a_terminal_goes_on_typed(tmp_path: Path) -> None:
    done = call_at_a_terminal(
        "run", "heater-fan-module", "--silent", "--screen", "off", "--records", str(tmp_path),
        typed="affirm\nfinish\naffirm\nfinish\n",
    )  # fmt: skip
    assert "type what you would say" in done.stderr
    assert "Job closed before a finding." in done.stdout
    assert done.returncode == 1


def test_without_a_microphone_and_a_terminal_it_ends_with_the_remedy(tmp_path: Path) -> None:
    program = (
        "import sys; sys.modules['sounddevice'] = None; "
        f"sys.argv[1:] = ['run', 'heater-fan-module', '--silent', '--records', {str(tmp_path)!r}]; "
        "from voiceassist.cli.main import main; main()"
    )
    done = subprocess.run(
        [sys.executable, "-c", program],
        stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=30, check=False,
    )  # fmt: skip
    assert done.returncode == 2
    assert "libportaudio2" in done.stderr
    assert "--typed" in done.stderr
    assert not list(tmp_path.iterdir())
