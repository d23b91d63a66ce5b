"""A session by microphone and loudspeaker that something breaks into."""

import os
import signal
import time
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from bays import bench
from dictation import dictated, recall
from live_job import AFFIRM, ANSWERS, arguments, readings
from liveroom import room
from running import call, lines

if TYPE_CHECKING:
    from soundserver import SoundServer

pytestmark = pytest.mark.slow


@pytest.fixture
def job(tmp_path: Path) -> tuple[str, ...]:
    """Arguments of a session of the small job."""
    return arguments(tmp_path)


def test_a_note_left_on_the_page_is_spoken_in_the_room_and_the_job_goes_on(
    sound_server: "SoundServer", job: tuple[str, ...], tmp_path: Path
) -> None:
    """The page takes the note; the voice says it when nobody speaks, and listens on."""
    records = tmp_path / "records"
    records.mkdir()
    with bench(records) as there, room(sound_server, *job, "--rate", "200") as here:
        here.await_turn()
        here.say_until("acknowledged", AFFIRM)
        (folder,) = records.iterdir()
        host, port = there.address
        sent_s = time.monotonic()
        answer = there.ask(
            f"/bench/session/{folder.name}/note", "POST", b"by=Jo&words=look+at+the+red+plug",
            Origin=f"http://{host}:{port}",
        )  # fmt: skip
        assert answer.status == 303
        note = here.await_line("instructor-note", 10)
        assert note is not None, here.fault("the note was not spoken")
        began_s = here.speaker.first_loud_s(sent_s, 10)
        assert began_s is not None
        here.speaker.wait_quiet()
        written = dictated(here.speaker.samples(began_s - 0.1, time.monotonic()))
        here.say_until(*ANSWERS[1])
    assert recall("Note from Jo: look at the red plug", written) >= 0.6, written


def test_a_job_survives_its_microphone_taken_away_and_brought_back(
    sound_server: "SoundServer", job: tuple[str, ...]
) -> None:
    begun = call("run", *job, "--typed", "--silent", typed="affirm\ndone\n")
    assert begun.returncode == 1
    with ExitStack() as stack:
        here = stack.enter_context(room(sound_server, "--resume", *job[1:], "--rate", "300"))
        here.await_turn()
        sound_server.process.kill()  # a headset is pulled: loudspeaker and microphone
        sound_server.process.wait()
        lost = here.await_line("device", 15)
        assert lost is not None, here.fault("it was not noticed")
        assert lost["state"] == "lost"
        again = sound_server.again()
        stack.callback(again.process.wait)
        stack.callback(again.process.kill)
        here.tape_anew(again)
        back = here.await_line("device", 60)
        assert back is not None, here.fault("it was not found again")
        assert back["state"] == "back"
        here.await_turn()  # the loudspeaker is back too
        for event, phrase in ANSWERS[2:]:
            here.say_until(event, phrase)
        assert here.process.wait(20) == 0, here.fault("the job did not end well")
        assert readings(here) == ["12.8 V", "bright"]


def test_a_session_terminated_while_it_speaks_falls_silent_and_can_go_on(
    sound_server: "SoundServer", job: tuple[str, ...], tmp_path: Path
) -> None:
    with room(sound_server, *job) as here:
        assert here.speaker.first_loud_s(0.0, 60) is not None
        time.sleep(1.0)
        told_s = time.monotonic()
        os.kill(here.process.pid, signal.SIGTERM)
        assert here.process.wait(10) == 143
        time.sleep(0.5)
        last_s = here.speaker.last_loud_s()
        assert last_s is not None
        assert last_s - told_s < 0.5
        assert here.process.stderr is not None
        told = here.process.stderr.read()
    assert "Traceback" not in told
    assert "voiceassist run --resume" in told
    resumed = call("run", "--resume", "--typed", "--silent", "--json", *job[1:3], typed="affirm\n")
    kinds = [line["event"] for line in lines(resumed)]
    assert "returned" in kinds
    assert "acknowledged" in kinds
