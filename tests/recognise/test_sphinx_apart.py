"""Pocketsphinx in a process of its own: the same scores, and nobody is kept waiting."""

import threading
import time
from collections.abc import Iterator
from pathlib import Path

import languages
import pytest

from voiceassist import resources
from voiceassist.devices.wav import read_clip
from voiceassist.language.expectation import Expectation
from voiceassist.measure.units import unit
from voiceassist.recognise.process.listener import ProcessListener
from voiceassist.recognise.sphinx import SphinxListener, sphinx_apart
from voiceassist.sound.clip import Clip
from voiceassist.sound.resample import resampled

FILES = resources.grammar_files("en")
WORDS = FILES["pronunciations.dict"]
VOLTS = languages.shipped().compose(Expectation(quantities=("voltage",), unit=unit("V")))
SAID = "twelve point eight volts"
DEMO = Path(__file__).parents[2] / "audio_fixtures" / "demo"


@pytest.fixture(scope="module")
def clip() -> Clip:
    return resampled(read_clip(DEMO / "03-battery.wav"))


@pytest.fixture
def apart() -> Iterator[ProcessListener]:
    listener = sphinx_apart(WORDS)
    listener.prepare(VOLTS)
    yield listener
    listener.close()


def test_it_hears_as_the_listener_in_our_own_process_does(
    apart: ProcessListener, clip: Clip
) -> None:
    here = SphinxListener(WORDS)
    here.prepare(VOLTS)
    heard, ours = apart.hear(clip), here.hear(clip)
    assert (heard.candidates, heard.none_of_these) == (ours.candidates, ours.none_of_these)
    assert heard.candidates[0].words == SAID


def test_other_threads_run_on_while_it_hears(apart: ProcessListener, clip: Clip) -> None:
    """The microphone's thread must come round many times a second."""
    apart.hear(clip)  # loaded by now
    gaps: list[float] = []
    over = threading.Event()

    def look() -> None:
        last_s = time.monotonic()
        while not over.wait(0.002):
            gaps.append(time.monotonic() - last_s)
            last_s = time.monotonic()

    thread = threading.Thread(target=look)
    thread.start()
    began_s = time.monotonic()
    apart.hear(clip)
    took_s = time.monotonic() - began_s
    over.set()
    thread.join()
    assert sorted(gaps)[len(gaps) // 2] < 0.02
    assert max(gaps) < max(0.1, took_s / 2)
