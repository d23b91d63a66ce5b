"""The listener whisper with the public English model "tiny"."""

import math
import random
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import yaml

from voiceassist.devices.wav import read_clip
from voiceassist.language.expectation import Expectation
from voiceassist.language.language import Language
from voiceassist.language.step import StepGrammar
from voiceassist.measure.units import unit
from voiceassist.recognise.base import Grammar, Heard, Listener, Nothing
from voiceassist.recognise.choose import choose_listener
from voiceassist.recognise.graph import WordGraph, graph_of
from voiceassist.recognise.whisper.engine import WhisperEngine, examples
from voiceassist.sound.clip import Clip
from voiceassist.sound.resample import resampled
from voiceassist.sound.samples import clip_of

pytestmark = pytest.mark.slow

FIXTURES = Path(__file__).parents[3] / "audio_fixtures"


@pytest.fixture(scope="module")
def listener(whisper_model: Path) -> Iterator[Listener]:
    made = choose_listener("whisper", model=str(whisper_model))
    yield made
    made.close()


@pytest.fixture(scope="module")
def voltage(english: Language) -> StepGrammar:
    return english.compose(Expectation(("voltage",), unit("V")))


def heard(listener: Listener, grammar: Grammar, name: str) -> Heard:
    """What is made of a fixture, such as "demo/12-done"."""
    listener.prepare(grammar)
    return listener.hear(read_clip(FIXTURES / f"{name}.wav"))


def listed(folder: str) -> list[dict[str, Any]]:
    """The phrases of a fixture folder."""
    text = (FIXTURES / folder / "script.yaml").read_text(encoding="utf-8")
    phrases: list[dict[str, Any]] = yaml.safe_load(text)["phrases"]
    return phrases


def test_recorded_readings_are_heard_in_quiet_and_in_noise(
    listener: Listener, voltage: StepGrammar
) -> None:
    readings = [p for p in listed("phrases") if p.get("expect") == "voltage" and "meaning" in p][
        :12
    ]
    assert len(readings) == 12
    right = 0
    for phrase in readings:
        found = heard(listener, voltage, f"phrases/{phrase['name']}").candidates
        said = voltage.parse(phrase["words"]).meanings
        right += bool(found) and voltage.parse(found[0].words).meanings == said
    assert right >= 11


def test_candidates_are_phrases_of_the_grammar_each_once_best_first(
    listener: Listener, voltage: StepGrammar
) -> None:
    graph = graph_of(voltage)
    found = heard(listener, voltage, "demo/13-command-slow").candidates
    assert 2 <= len(found) <= 8
    assert all(graph.contains(each.words) for each in found)
    assert len({each.words for each in found}) == len(found)
    assert [each.score for each in found] == sorted((c.score for c in found), reverse=True)
    assert all(math.isfinite(each.score) for each in found)


def test_what_fits_scores_above_none_of_these_and_other_talk_below(
    listener: Listener, voltage: StepGrammar
) -> None:
    inside = heard(listener, voltage, "demo/13-command-slow")
    assert inside.none_of_these is not None
    assert inside.candidates[0].score > inside.none_of_these
    talk = [p["name"] for p in listed("phrases") if "meaning" not in p and p.get("words")]
    assert talk
    for name in talk[:6]:
        other = heard(listener, voltage, f"phrases/{name}")
        assert other.none_of_these is not None
        assert all(each.score < other.none_of_these for each in other.candidates), name


def test_the_same_clip_is_heard_the_same_whatever_came_before(
    listener: Listener, voltage: StepGrammar, english: Language
) -> None:
    first = heard(listener, voltage, "demo/13-command-slow")
    heard(listener, english.compose(Expectation(lamp=True)), "demo/12-done")
    again = heard(listener, voltage, "demo/13-command-slow")
    assert (again.candidates, again.none_of_these) == (first.candidates, first.none_of_these)


@pytest.mark.parametrize("clip", [Clip(b""), Clip.silence(0.05), Clip.silence(2)])
def test_no_sound_is_no_speech(listener: Listener, voltage: StepGrammar, clip: Clip) -> None:
    listener.prepare(voltage)
    assert listener.hear(clip).nothing is Nothing.NO_SPEECH


def test_half_a_minute_of_noise_is_no_speech(listener: Listener, voltage: StepGrammar) -> None:
    listener.prepare(voltage)
    noise = np.random.default_rng(1).standard_normal(40 * 16_000)
    assert listener.hear(clip_of(3000 * noise, 16_000)).nothing is Nothing.NO_SPEECH


def test_examples_are_phrases_of_the_grammar(voltage: StepGrammar) -> None:
    graph = graph_of(voltage)
    text = examples(graph)
    assert text.endswith(".")
    phrases = text[:-1].split(", ")
    assert len(phrases) == 8
    assert all(graph.contains(phrase) for phrase in phrases)


def test_a_vehicle_number_is_heard_character_by_character(
    listener: Listener, english: Language
) -> None:
    if shutil.which("flite") is None:
        pytest.fail("the package flite is not installed")
    grammar = english.compose(Expectation(identifier="vin"))
    listener.prepare(grammar)
    # Seventeen characters drawn at random.
    said = "papa whiskey kilo kilo two alfa six five three echo one golf seven five charlie one"
    said += " romeo"
    assert listener.hear(flite(said)).candidates[0].words == said


def flite(words: str) -> Clip:
    """The words in a voice of flite."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "said.wav"
        subprocess.run(["flite", "-voice", "slt", "-t", words, "-o", str(file)], check=True)
        return resampled(read_clip(file))


def test_the_engine_hears_here_as_it_does_in_its_child(
    listener: Listener, voltage: StepGrammar, whisper_model: Path
) -> None:
    there = heard(listener, voltage, "demo/13-command-slow")
    here = heard(WhisperEngine(str(whisper_model)), voltage, "demo/13-command-slow")
    assert [c.words for c in there.candidates[:3]] == [c.words for c in here.candidates[:3]]
    assert there.candidates[0].score == pytest.approx(here.candidates[0].score, abs=0.1)


def test_any_phrase_of_a_grammar_can_be_a_candidate(
    listener: Listener, voltage: StepGrammar, english: Language
) -> None:
    """Its words can be spelled: a grammar of this phrase alone must give it."""
    rng = random.Random(3)
    for _ in range(5):
        words = voltage.sample(rng, heard=True)[0].split()
        chain = WordGraph((*({w: n + 1} for n, w in enumerate(words)), {}), frozenset({len(words)}))
        found = heard(listener, Only(chain), "demo/13-command-slow").candidates
        assert [each.words for each in found] == [" ".join(words)]


class Only:
    """A grammar that is a graph."""

    def __init__(self, graph: WordGraph) -> None:
        self.start, self.advance = graph.start, graph.advance
        self.next_words, self.accepts = graph.next_words, graph.accepts
        self.words = graph.words

    def jsgf(self) -> str:
        return ""


def test_without_the_library_the_extra_is_named(whisper_model: Path) -> None:
    program = (
        "import sys; sys.modules['ctranslate2'] = None\n"
        "from voiceassist.recognise.whisper.engine import WhisperEngine\n"
        "from voiceassist.errors import RecogniseError\n"
        "try: WhisperEngine(sys.argv[1])\n"
        "except RecogniseError as error: print(error)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program, str(whisper_model)],
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    assert done.stdout == (
        "the listener whisper is not installed; run: pip install 'voiceassist[whisper]'\n"
    )
