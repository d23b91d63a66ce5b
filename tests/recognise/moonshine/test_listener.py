"""The moonshine listener, for real."""

import random
import time
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import yaml

from voiceassist.devices.wav import read_clip
from voiceassist.errors import RecogniseError
from voiceassist.language.expectation import Choice, Expectation
from voiceassist.language.language import Language, StepGrammar
from voiceassist.measure.units import unit
from voiceassist.recognise.base import Heard, Nothing
from voiceassist.recognise.moonshine.listener import MoonshineListener
from voiceassist.sound.clip import Clip
from voiceassist.sound.samples import clip_of

PHRASES = Path(__file__).parents[3] / "audio_fixtures" / "phrases"
LISTED: list[dict[str, Any]] = yaml.safe_load(
    (PHRASES / "script.yaml").read_text(encoding="utf-8")
)["phrases"]
VOLTS = Expectation(("voltage",), unit("V"))


def phrase(name: str) -> Clip:
    """One of the recorded phrases."""
    return read_clip(PHRASES / f"{name}.wav")


def step(listed: dict[str, Any]) -> Expectation:
    """What the step at which the phrase is spoken is ready to hear."""
    expect = listed.get("expect", "")
    if expect == "lamp":
        return Expectation(lamp=True)
    return Expectation((expect,), {"voltage": unit("V")}.get(expect)) if expect else Expectation()


def accepts(grammar: StepGrammar, words: str) -> bool:
    """Whether the grammar has exactly this phrase."""
    state = grammar.start()
    for word in words.split():
        state = grammar.advance(state, word)
    return grammar.accepts(state)


Results = list[tuple[dict[str, Any], StepGrammar, Heard]]


@pytest.fixture(scope="module")
def results(english: Language, listener: MoonshineListener) -> Results:
    """Each recorded phrase with what was heard."""
    found: Results = []
    for listed in LISTED:
        grammar = english.compose(step(listed))
        listener.prepare(grammar)
        found.append((listed, grammar, listener.hear(phrase(listed["name"]))))
    return found


def test_nineteen_recorded_phrases_in_twenty_are_heard_with_their_meaning(
    results: Results,
) -> None:
    said = [each for each in results if "meaning" in each[0]]
    assert len(said) > 45
    wrong = [
        listed["name"]
        for listed, grammar, heard in said
        if not heard.candidates
        or grammar.parse(heard.candidates[0].words).meanings[:1]
        != grammar.parse(listed["words"]).meanings[:1]
    ]
    assert len(wrong) <= 0.05 * len(said), wrong


def test_recorded_phrases_lie_above_none_of_these_and_other_talk_below(results: Results) -> None:
    inside: list[tuple[str, bool]] = []
    outside: list[tuple[str, bool]] = []
    for listed, _, heard in results:
        if heard.candidates:
            assert heard.none_of_these is not None
            above = heard.candidates[0].score > heard.none_of_these
            (inside if "meaning" in listed else outside).append((listed["name"], above))
    lost = [name for name, above in inside if not above]
    taken = [name for name, above in outside if above]
    assert len(inside) > 45
    assert len(outside) >= 6
    assert len(lost) <= 0.05 * len(inside), lost
    assert not taken


def test_every_candidate_is_a_phrase_of_the_grammar_best_first_and_finite(
    results: Results,
) -> None:
    for _, grammar, heard in results:
        scores = [each.score for each in heard.candidates]
        assert scores == sorted(scores, reverse=True)
        assert np.isfinite(scores).all()
        assert len({each.words for each in heard.candidates}) == len(scores)
        for each in heard.candidates:
            assert accepts(grammar, each.words), each.words


def test_a_reading_in_noise_leaves_others_to_choose_from(results: Results) -> None:
    noisy = [heard for listed, _, heard in results if listed["name"] in {"n01", "n02", "n04"}]
    assert len(noisy) == 3
    assert all(len(heard.candidates) >= 3 for heard in noisy)


@pytest.mark.parametrize("name", ["r05", "n02", "c05"])
def test_the_same_clip_twice_gives_the_same_answer(
    listener: MoonshineListener, english: Language, name: str
) -> None:
    answers = []
    for grammar in (english.compose(VOLTS), english.compose(VOLTS)):
        listener.prepare(grammar)
        heard = listener.hear(phrase(name))
        listener.hear(phrase("x01"))
        answers.append((heard.candidates, heard.none_of_these))
    assert answers[0] == answers[1]


@pytest.mark.parametrize("threads", [1, 4])
def test_the_number_of_threads_changes_nothing(
    listener: MoonshineListener, english: Language, threads: int
) -> None:
    grammar = english.compose(VOLTS)
    other = MoonshineListener(threads=threads)
    heard = []
    for each in (listener, other):
        each.prepare(grammar)
        heard.append(
            [(c.words, pytest.approx(c.score)) for c in each.hear(phrase("r01")).candidates]
        )
    other.close()
    assert [words for words, _ in heard[0]] == [words for words, _ in heard[1]]


@pytest.mark.parametrize("name", ["r01", "c01", "a04"])
def test_one_more_phrase_in_the_grammar_does_not_lower_the_score_of_another(
    listener: MoonshineListener, english: Language, name: str
) -> None:
    """But for the rounding of networks whose rows share their scale."""
    more = Choice("more", ("the bearing drags", "it is cold"))
    scores = []
    for expectation in (VOLTS, Expectation(("voltage",), unit("V"), choices=(more,))):
        listener.prepare(english.compose(expectation))
        scores.append(listener.hear(phrase(name)).candidates[0])
    assert scores[1].words == scores[0].words
    assert scores[1].score >= scores[0].score - 1.0


def test_a_novel_read_aloud_is_no_reading_and_no_command(
    listener: MoonshineListener, english: Language
) -> None:
    folder = Path("/usr/share/pocketsphinx/test/data")
    if not folder.is_dir():
        pytest.skip("the package pocketsphinx-testdata is not installed")
    stories = sorted((folder / "librivox").glob("*.wav"))
    assert stories
    listener.prepare(english.compose(VOLTS))
    for story in stories:
        heard = listener.hear(read_clip(story))
        assert heard.none_of_these is not None
        assert all(each.score < heard.none_of_these for each in heard.candidates)


@pytest.mark.parametrize("clip", [Clip(b""), Clip.silence(0.05), Clip.silence(2.0), phrase("s01")])
def test_silence_and_clips_too_short_for_a_word_are_no_speech(
    listener: MoonshineListener, english: Language, clip: Clip
) -> None:
    listener.prepare(english.compose(VOLTS))
    heard = listener.hear(clip)
    assert (heard.candidates, heard.nothing) == ((), Nothing.NO_SPEECH)


def test_a_minute_of_noise_comes_to_an_end(listener: MoonshineListener, english: Language) -> None:
    listener.prepare(english.compose(VOLTS))
    noise = np.random.default_rng(1).normal(0, 3000, 60 * 16_000)
    began = time.monotonic()
    listener.hear(clip_of(noise, 16_000))
    assert time.monotonic() - began < 30


def test_a_sound_at_another_rate_and_hearing_unprepared_are_misuse(
    english: Language,
) -> None:
    listener = MoonshineListener()
    with pytest.raises(RuntimeError, match="prepare"):
        listener.hear(phrase("r01"))
    listener.prepare(english.compose(VOLTS))
    with pytest.raises(ValueError, match="8000 Hz"):
        listener.hear(Clip.silence(1.0, 8000))
    listener.close()


def test_a_fault_in_the_engine_is_an_answer_and_no_exception(english: Language) -> None:
    listener = MoonshineListener()
    listener.prepare(english.compose(VOLTS))
    listener._engine.close()
    heard = listener.hear(phrase("r01"))
    assert (heard.candidates, heard.nothing) == ((), Nothing.FAILED)


def test_a_word_that_is_not_english_is_refused_by_name(
    listener: MoonshineListener, english: Language
) -> None:
    strange = Expectation(choices=(Choice("yes", ("예",)),))
    with pytest.raises(RecogniseError, match="not '예'; choose another listener"):
        listener.prepare(english.compose(strange))


def test_a_grammar_that_cannot_be_stepped_through_is_misuse(listener: MoonshineListener) -> None:
    class Flat:
        def jsgf(self) -> str:
            return "#JSGF V1.0; grammar g; public <g> = yes;"

        def words(self) -> frozenset[str]:
            return frozenset({"yes"})

    with pytest.raises(TypeError, match="start, advance"):
        listener.prepare(Flat())


def test_a_step_that_comes_again_is_ready_at_once(
    listener: MoonshineListener, english: Language
) -> None:
    grammars = [english.compose(VOLTS), english.compose(Expectation(lamp=True))]
    rng = random.Random(1)
    for grammar in grammars:
        listener.prepare(grammar)
    took = []
    for _ in range(50):
        began = time.perf_counter()
        listener.prepare(rng.choice(grammars))
        took.append(time.perf_counter() - began)
    assert sorted(took)[25] < 0.001
