"""A session by microphone and loudspeaker, through a real sound server."""

import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from dictation import dictated, recall, sounds_like, words
from live_job import ANSWERS, arguments, readings
from liveroom import Room, room

if TYPE_CHECKING:
    from soundserver import SoundServer

pytestmark = pytest.mark.slow


def test_a_whole_job_is_done_by_voice_in_a_room_where_the_assistant_hears_itself(
    sound_server: "SoundServer", tmp_path: Path
) -> None:
    """All that the loudspeaker plays comes in at the microphone; it is never answered."""
    sound_server.control("load-module", "module-loopback", "source=speaker.monitor",
                         "sink=mouth", "latency_msec=60")  # fmt: skip
    with room(sound_server, *arguments(tmp_path), "--rate", "200") as here:
        here.await_turn()
        for event, phrase in ANSWERS:
            here.say_until(event, phrase)
        assert here.process.wait(20) == 0, here.fault("the job did not end well")
    assert readings(here) == ["12.8 V", "bright"]
    assert here.lines[-1]["outcome"] == "found"
    assert len([line for line in here.lines if line["event"] == "heard"]) == here.said
    report = Path(str(here.lines[-1]["record"]), "report.txt").read_text(encoding="utf-8")
    assert "The supply of the lamp is good" in report
    # Somebody who has not read the text writes down what the loudspeaker said.
    heard = [(text, dictated(sound)) for text, sound in zip(texts(here), here.turns, strict=True)]
    assert len(heard) >= 1 + len(ANSWERS)
    for text, written in heard:
        # The other recogniser knows no context: of "Job closed." it may make "Jump close".
        likeness = recall(text, written) if len(words(text)) > 6 else sounds_like(text, written)
        assert likeness >= 0.6, (text, written)
    assert recall(" ".join(text for text, _ in heard), " ".join(it for _, it in heard)) >= 0.7
    everything = " ".join(written.lower() for _, written in heard)
    assert re.search(r"(12|twelve)\W*(\.|point)\W*(8|eight)", everything), everything
    assert {"warning", "fan", "start", "fingers"} <= set(words(everything))


def texts(here: Room) -> list[str]:
    """What each of the assistant's turns should say."""
    turns: list[list[str]] = [[]]
    for line in here.lines:
        if line["event"] == "heard" and turns[-1]:
            turns.append([])
        elif "start_s" in line and line["event"] != "heard":
            turns[-1].append(str(line["text"]))
    return [" ".join(turn) for turn in turns]
