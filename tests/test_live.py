"""A session by microphone and loudspeaker, through a real sound server."""

import os
import signal
import time
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import pytest
from dictation import dictated, recall, words
from liveroom import Room, room
from numpy.typing import NDArray
from running import call, lines
from soundserver import RATE_HZ

if TYPE_CHECKING:
    from soundserver import SoundServer

PHRASES = Path(__file__).parents[1] / "audio_fixtures" / "demo"
AFFIRM = PHRASES / "05-affirm.wav"
VOLTS = PHRASES / "03-battery.wav"

#: A whole job in two answers, its caution first: real time is dear.
JOB = """
procedure: lamp-supply
title: a dark lamp
for: an invented van
points: {feed: pin one with the red wire}
cautions:
  blades: {signal: WARNING, hazard: the fan may start by itself, avoid: keep clear}
steps:
  supply:
    caution: blades
    measure: voltage at the feed
    accept: 11.8 V to 12.9 V
    fail: flat
    then: fine
findings:
  fine: {cause: the lamp is dead, correction: change the lamp}
  flat: {cause: the supply is weak, correction: charge the battery}
"""
#: What is said, and the kind of line it leads to.
ANSWERS = (
    ("acknowledged", AFFIRM),
    ("reading", VOLTS),
)

pytestmark = pytest.mark.slow


@pytest.fixture
def job(tmp_path: Path) -> tuple[str, ...]:
    """Arguments of a session of the small job, quick to load and to listen."""
    path = tmp_path / "lamp-supply.yaml"
    path.write_text(JOB, encoding="utf-8")
    return (str(path), "--records", str(tmp_path / "records"))


def readings(here: Room) -> list[str]:
    return [str(line["shown"]) for line in here.lines if line["event"] == "reading"]


def hear_ourselves(server: "SoundServer") -> None:
    """All that the loudspeaker plays comes in at the microphone too."""
    server.control("load-module", "module-loopback", "source=speaker.monitor",
                   "sink=mouth", "latency_msec=60")  # fmt: skip


def pull_the_headset(here: Room, stack: ExitStack) -> None:
    """Loudspeaker and microphone go, and after a while they are there again."""
    here.server.process.kill()
    here.server.process.wait()
    lost = here.await_line("device", 15)
    assert lost is not None, here.fault("it was not noticed")
    assert lost["state"] == "lost"
    again = here.server.again()
    stack.callback(again.process.wait)
    stack.callback(again.process.kill)
    hear_ourselves(again)
    here.tape_anew(again)
    back = here.await_line("device", 30)
    assert back is not None, here.fault("it was not found again")
    assert back["state"] == "back"
    here.await_turn()  # the loudspeaker is back too


def test_a_whole_job_is_done_by_voice_alone(
    sound_server: "SoundServer", job: tuple[str, ...]
) -> None:
    """From the first word to the report, in a room where the assistant hears itself, with a
    headset that is pulled out in mid-job: nothing is lost, and it never answers itself."""
    hear_ourselves(sound_server)
    with ExitStack() as stack:
        here = stack.enter_context(room(sound_server, *job, "--rate", "240", "--detail", "brief"))
        here.await_turn()
        for event, phrase in ANSWERS[:1]:
            here.say_until(event, phrase)
        pull_the_headset(here, stack)
        for event, phrase in ANSWERS[1:]:
            here.say_until(event, phrase)
        assert here.process.wait(20) == 0, here.fault("the job did not end well")
    assert readings(here) == ["12.8 V"]
    assert here.lines[-1]["outcome"] == "found"
    assert len([line for line in here.lines if line["event"] == "heard"]) == here.said
    report = Path(str(here.lines[-1]["record"]), "report.txt").read_text(encoding="utf-8")
    assert "the lamp is dead" in report.lower()
    # Somebody who has not read the text writes down what the loudspeaker said.
    written = " ".join(dictated(sound) for sound in windows(here.turns)).lower()
    spoken = " ".join(str(li["text"]) for li in here.lines if "end_s" in li and "words" not in li)
    assert recall(spoken, written) >= 0.6, (spoken, written)
    assert "12.8" in written or "twelve point eight" in written
    telling = {"warning", "fan", "start", "itself", "clear", "microphone", "lamp"}
    assert len(telling & set(words(written))) >= 5, written


def windows(turns: list[NDArray[np.int16]]) -> list[NDArray[np.int16]]:
    """Turns one after another, as many as fit into what is written down at once."""
    found: list[NDArray[np.int16]] = []
    pause = np.zeros(RATE_HZ // 2, dtype=np.int16)
    for turn in (np.concatenate([each, pause]) for each in turns):
        if found and found[-1].size + turn.size <= 29 * RATE_HZ:
            found[-1] = np.concatenate([found[-1], turn])
        else:
            found.append(turn)
    return found


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
