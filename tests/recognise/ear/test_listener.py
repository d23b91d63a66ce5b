"""The listener ear, for real."""

import random
import subprocess
import time
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import yaml

from voiceassist.app.ears.judgement import understood
from voiceassist.app.loaded import shipped_odds
from voiceassist.devices.wav import read_clip
from voiceassist.errors import RecogniseError
from voiceassist.language.expectation import Choice, Expectation
from voiceassist.language.language import Language, StepGrammar
from voiceassist.language.meanings import Reading
from voiceassist.measure.units import unit
from voiceassist.recognise.base import HeardClip, Nothing
from voiceassist.recognise.ear import listener as module
from voiceassist.recognise.ear.listener import EarListener
from voiceassist.recognise.ear.weights import read_weights
from voiceassist.recognise.graph import Steps
from voiceassist.sound.clip import Clip
from voiceassist.sound.samples import clip_of

PHRASES = Path(__file__).parents[3] / "audio_fixtures" / "phrases"
LISTED: list[dict[str, Any]] = yaml.safe_load(
    (PHRASES / "script.yaml").read_text(encoding="utf-8")
)["phrases"]
VOLTS = Expectation(("voltage",), unit("V"))
AMPS = Expectation(("current",), unit("A"))


def phrase(name: str) -> Clip:
    """One of the recorded phrases."""
    return read_clip(PHRASES / f"{name}.wav")


def step(listed: dict[str, Any]) -> Expectation:
    """What the step at which the phrase is spoken is ready to hear."""
    expect = listed.get("expect", "")
    if expect == "lamp":
        return Expectation(lamp=True)
    return Expectation((expect,), {"voltage": unit("V")}.get(expect)) if expect else Expectation()


def allows(grammar: StepGrammar, words: str) -> bool:
    """Whether ``words`` are a phrase of the step, or of what is said in other words there."""
    stepping: list[Steps] = [grammar, *(part for part, _ in grammar.talk())]
    for steps in stepping:
        state = steps.start()
        for word in words.split():
            state = steps.advance(state, word)
        if steps.accepts(state):
            return True
    return False


Results = list[tuple[dict[str, Any], StepGrammar, HeardClip]]


@pytest.fixture(scope="module")
def listener() -> EarListener:
    return EarListener()


@pytest.fixture(scope="module")
def results(english: Language, listener: EarListener) -> Results:
    """Each recorded phrase with what was heard."""
    found: Results = []
    for listed in LISTED:
        grammar = english.compose(step(listed))
        listener.prepare(grammar)
        found.append((listed, grammar, listener.hear(phrase(listed["name"]))))
    return found


def test_all_recorded_phrases_but_three_are_heard_with_their_meaning(
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
    assert len(wrong) <= 3, wrong


def test_recorded_phrases_are_believed_to_be_phrases_and_other_talk_is_not(
    results: Results,
) -> None:
    odds = shipped_odds()["ear"]
    none: dict[bool, dict[str, float]] = {True: {}, False: {}}
    for listed, grammar, heard in results:
        evidence = understood(heard, grammar)
        if evidence.guesses:
            belief = odds.belief(evidence, grammar.expectation)
            none["meaning" in listed][listed["name"]] = belief.none
    lost = {name: each for name, each in none[True].items() if each > 0.5}
    assert len(none[True]) > 45
    assert len(lost) <= 0.05 * len(none[True]), lost
    assert all(each > 0.5 for each in none[False].values()), none[False]


def test_candidates_are_phrases_of_the_grammar_best_first_and_no_more_than_certain(
    results: Results,
) -> None:
    for _, grammar, heard in results:
        scores = [each.score for each in heard.candidates]
        assert scores == sorted(scores, reverse=True)
        assert np.isfinite(scores).all()
        assert len({each.words for each in heard.candidates}) == len(scores)
        for each in heard.candidates:
            assert allows(grammar, each.words), each.words
        if scores:
            assert heard.rest is not None
            assert np.exp([*scores, heard.rest]).sum() <= 1 + 1e-9


@pytest.mark.parametrize("name", ["r05", "n02", "c05"])
def test_the_same_clip_twice_gives_the_same_answer(
    listener: EarListener, english: Language, name: str
) -> None:
    answers = []
    for grammar in (english.compose(VOLTS), english.compose(VOLTS)):
        listener.prepare(grammar)
        heard = listener.hear(phrase(name))
        listener.hear(phrase("x01"))
        answers.append((heard.candidates, heard.none_of_these, heard.rest))
    assert answers[0] == answers[1]


@pytest.mark.parametrize("name", ["r01", "c01", "a04"])
def test_one_more_phrase_in_the_grammar_changes_no_other_score(
    listener: EarListener, english: Language, name: str
) -> None:
    """A score is the probability given the sound, whatever else could have been said."""
    more = Choice("more", ("the bearing drags", "it is cold"))
    scores = []
    for expectation in (VOLTS, Expectation(("voltage",), unit("V"), choices=(more,))):
        listener.prepare(english.compose(expectation))
        scores.append(listener.hear(phrase(name)).candidates[0])
    assert scores[1].words == scores[0].words
    assert scores[1].score == pytest.approx(scores[0].score, abs=1e-3)


def test_a_novel_read_aloud_is_no_reading_and_no_command(
    listener: EarListener, english: Language
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


def noise(seconds: float, level: float) -> Clip:
    """White noise."""
    samples = np.random.default_rng(1).normal(0, level, round(seconds * 16_000))
    return clip_of(np.clip(samples, -32_768, 32_767), 16_000)


@pytest.mark.parametrize(
    "clip",
    [
        *(Clip(b""), Clip.silence(0.05), Clip.silence(0.1), Clip.silence(2.0), phrase("s01")),
        *(noise(0.1, 300), noise(2.0, 300), noise(2.0, 30_000), noise(30.0, 3000)),
    ],
    ids=lambda clip: f"{clip.seconds:.2f} s",
)
def test_silence_noise_and_clips_too_short_for_a_word_are_no_speech(
    listener: EarListener, english: Language, clip: Clip
) -> None:
    listener.prepare(english.compose(VOLTS))
    heard = listener.hear(clip)
    assert (heard.candidates, heard.nothing) == ((), Nothing.NO_SPEECH)


def test_a_phrase_that_was_clipped_is_still_heard(listener: EarListener, english: Language) -> None:
    listener.prepare(english.compose(VOLTS))
    loud = np.frombuffer(phrase("r01").pcm, "<i2").astype(float) * 6
    clipped = clip_of(np.clip(loud, -32_768, 32_767), 16_000)
    whole = listener.hear(phrase("r01")).candidates[0].words
    assert listener.hear(clipped).candidates[0].words == whole


def whispered(clip: Clip) -> Clip:
    """The same with breath in place of the voice: what is loud when, where, stays."""
    frame, step = 512, 128
    window = np.hanning(frame)
    sound = np.frombuffer(clip.pcm, "<i2").astype(float)
    breath = np.random.default_rng(5).normal(0, 1, len(sound))
    whisper = np.zeros(len(sound))
    for at in range(0, len(sound) - frame, step):
        loud = np.abs(np.fft.rfft(sound[at : at + frame] * window))
        rough = np.convolve(loud, np.ones(9) / 9, "same")  # wider than one harmonic
        noise = np.fft.rfft(breath[at : at + frame] * window)
        whisper[at : at + frame] += np.fft.irfft(noise / np.abs(noise) * rough) * window
    whisper *= 3_000 / np.abs(whisper).max()
    return clip_of(whisper, 16_000)


def constant(seconds: float, value: int) -> Clip:
    """A microphone that is stuck."""
    return clip_of(np.full(round(seconds * 16_000), value), 16_000)


@pytest.mark.parametrize(
    "clip",
    [
        *(whispered(phrase("r01")), whispered(phrase("c05")), Clip(phrase("r01").pcm[:3200])),
        *(constant(1.0, 32_767), constant(1.0, -32_768), constant(30.0, 100)),
        clip_of(np.tile([32_767, -32_768], 16_000), 16_000),
        Clip((phrase("r01").pcm * 40)[: 2 * 30 * 16_000]),
        Clip((phrase("r01").pcm * 40)[: 2 * 45 * 16_000]),
    ],
    ids=lambda clip: f"{clip.seconds:.2f} s",
)
def test_odd_sounds_give_phrases_of_the_grammar_or_a_reason(
    listener: EarListener, english: Language, clip: Clip
) -> None:
    grammar = english.compose(VOLTS)
    listener.prepare(grammar)
    heard = listener.hear(clip)
    assert (heard.nothing is None) == bool(heard.candidates)
    for each in heard.candidates:
        assert allows(grammar, each.words), each.words
        assert np.isfinite(each.score)


def test_a_whispered_reading_is_heard_or_known_to_be_doubtful(
    listener: EarListener, english: Language
) -> None:
    grammar = english.compose(VOLTS)
    listener.prepare(grammar)
    said = grammar.parse(next(x["words"] for x in LISTED if x["name"] == "r01")).meanings
    heard = listener.hear(whispered(phrase("r01")))
    evidence = understood(heard, grammar)
    if evidence.guesses and evidence.guesses[0].meanings != said:
        belief = shipped_odds()["ear"].belief(evidence, grammar.expectation)
        assert belief.likely[0][1] < 0.9


def test_a_phrase_in_a_long_quiet_is_still_heard(listener: EarListener, english: Language) -> None:
    listener.prepare(english.compose(VOLTS))
    whole = listener.hear(phrase("r01")).candidates[0].words
    long = Clip.silence(4.0, 16_000) + phrase("r01") + Clip.silence(60.0, 16_000)
    assert listener.hear(long).candidates[0].words == whole


def test_a_sound_at_another_rate_and_hearing_unprepared_are_misuse(english: Language) -> None:
    listener = EarListener()
    with pytest.raises(RuntimeError, match="prepare"):
        listener.hear(phrase("r01"))
    listener.prepare(english.compose(VOLTS))
    with pytest.raises(ValueError, match="8000 Hz"):
        listener.hear(Clip.silence(1.0, 8000))
    listener.close()


def test_weights_that_are_missing_are_told_of_with_a_way_out(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(module, "shipped_network", lambda: read_weights(tmp_path / "weights.npz"))
    with pytest.raises(RecogniseError, match=r"weights\.npz"):
        EarListener()


def test_another_language_is_refused() -> None:
    with pytest.raises(RecogniseError, match="English only, not 'ko'"):
        EarListener(language="ko")


def test_a_word_that_is_not_english_is_refused_by_name(
    listener: EarListener, english: Language
) -> None:
    strange = Expectation(choices=(Choice("yes", ("예",)),))
    with pytest.raises(RecogniseError, match="not '예'; choose another listener"):
        listener.prepare(english.compose(strange))


def test_a_grammar_that_cannot_be_stepped_through_is_misuse(listener: EarListener) -> None:
    class Flat:
        def jsgf(self) -> str:
            return "#JSGF V1.0; grammar g; public <g> = yes;"

        def words(self) -> frozenset[str]:
            return frozenset({"yes"})

    with pytest.raises(TypeError, match="start, advance"):
        listener.prepare(Flat())


def test_a_step_that_comes_again_is_ready_at_once(listener: EarListener, english: Language) -> None:
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


@pytest.mark.parametrize(
    ("words", "awaited", "value"),
    [("eighteen mil", VOLTS, "18 mV"), ("four hundred and ten mil", AMPS, "410 mA")],
)
def test_mil_is_a_thousandth_and_never_the_whole_unit(
    english: Language, tmp_path: Path, words: str, awaited: Expectation, value: str
) -> None:
    """Said by flite, whose voice rms no weights were taught."""
    told = tmp_path / "said.wav"
    subprocess.run(["flite", "-voice", "rms", "-t", words, "-o", str(told)], check=True)
    listener, step = EarListener(), english.compose(awaited)
    listener.prepare(step)
    quiet = Clip.silence(0.3)
    best = listener.hear(quiet + read_clip(told) + quiet).candidates[0]
    (meant,) = step.parse(best.words).meanings
    assert isinstance(meant, Reading)
    assert f"{meant.value} {meant.unit}" == value
