"""The decoder network, beside the library that the model was converted for."""

import math
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest

from voiceassist.devices.wav import read_clip
from voiceassist.recognise.whisper.decoder import (
    Decoding,
    Network,
    attended,
    erf,
    gelu,
    log_softmax,
)
from voiceassist.recognise.whisper.spectrum import log_mel
from voiceassist.recognise.whisper.weights import Floats, floats, read_variables
from voiceassist.sound.samples import samples_of

PHRASE = Path(__file__).parents[3] / "audio_fixtures" / "demo" / "13-command-slow.wav"
#: <|startoftranscript|> and <|notimestamps|> of the English vocabulary, and its <|endoftext|>.
START, END = [50257, 50362], 50256

Rows = list[list[float]]


@pytest.fixture(scope="module")
def network(whisper_model: Path) -> Network:
    return Network.of(floats(read_variables(whisper_model / "model.bin"), "decoder/"))


@dataclass(frozen=True, slots=True)
class Reference:
    """A phrase as the library encodes it, and what it writes of it, in the same numbers as ours."""

    encoded: Floats
    tokens: list[int]
    score: float


@pytest.fixture(scope="module")
def reference(whisper_model: Path) -> Reference:
    import ctranslate2

    library = ctranslate2.models.Whisper(str(whisper_model), device="cpu", compute_type="float32")
    samples = samples_of(read_clip(PHRASE)).astype(np.float32) / 32768
    spectrum = log_mel(np.pad(samples, (0, 160_000 - len(samples))), 80)[None].copy()
    encoded = library.encode(ctranslate2.StorageView.from_array(spectrum), to_cpu=True)
    (theirs,) = library.generate(
        encoded, [START], beam_size=1, suppress_tokens=[], suppress_blank=False,
        return_scores=True, length_penalty=0,
    )  # fmt: skip
    return Reference(np.array(encoded)[0], theirs.sequences_ids[0], theirs.scores[0])


def decoding(network: Network, reference: Reference, sounds: int = 1) -> Decoding:
    """Every token can come next."""
    return Decoding(network, [network.memory(reference.encoded)] * sounds)


def greedy(network: Network, reference: Reference) -> tuple[list[int], float]:
    """Always the likeliest token, with the sum of the logarithms."""
    ours = decoding(network, reference)
    chances, score = ours.begin(START)[0, 0], 0.0
    tokens: list[int] = []
    while True:
        token = int(chances.argmax())
        score += float(chances[token])
        if token == END:
            return tokens, score
        tokens.append(token)
        chances = ours.step(np.array([0]), np.array([token]))[0, 0]


@pytest.mark.slow
def test_it_writes_what_the_library_writes_and_finds_it_as_likely(
    network: Network, reference: Reference
) -> None:
    tokens, score = greedy(network, reference)
    assert len(tokens) > 3
    assert tokens == reference.tokens
    assert score == pytest.approx(reference.score, abs=0.01)


@pytest.mark.slow
def test_token_by_token_is_as_all_at_once(network: Network, reference: Reference) -> None:
    text = [314, 257, 1332]
    once = decoding(network, reference).begin([*START, *text])
    ours = decoding(network, reference)
    ours.begin(START)
    for token in text:
        last = ours.step(np.array([0]), np.array([token]))
    np.testing.assert_allclose(last, once, atol=1e-3)


@pytest.mark.slow
def test_rows_and_sounds_do_not_touch_each_other(network: Network, reference: Reference) -> None:
    alone = decoding(network, reference)
    alone.begin(START)
    alone.step(np.array([0]), np.array([314]))
    expected = alone.step(np.array([0]), np.array([257]))[0, 0]
    both = decoding(network, reference, sounds=2)
    both.begin(START)
    both.step(np.array([0, 0]), np.array([1332, 314]))
    found = both.step(np.array([1, 0, 1]), np.array([1332, 257, 257]))
    assert found.shape[:2] == (2, 3)
    for sound in found:
        np.testing.assert_allclose(sound[2], expected, atol=1e-3)
        assert abs(sound[1] - expected).max() > 0.1


@pytest.mark.slow
def test_chances_sum_to_one(network: Network, reference: Reference) -> None:
    chances = decoding(network, reference).begin(START)
    assert np.exp(chances.astype(np.float64)).sum() == pytest.approx(1, abs=1e-4)


# --- the parts ---


def test_the_error_function_is_that_of_the_standard_library() -> None:
    x = np.linspace(-5, 5, 401, dtype=np.float32)
    np.testing.assert_allclose(erf(x), [math.erf(each) for each in x], atol=1e-6)


def test_the_unit_is_x_times_the_normal_distribution() -> None:
    x = np.array([-3, -1, 0, 0.5, 2], np.float32)
    expected = [each * (1 + math.erf(each / math.sqrt(2))) / 2 for each in x]
    np.testing.assert_allclose(gelu(x), expected, atol=1e-6)


def test_logarithms_of_chances_do_not_overflow() -> None:
    found = log_softmax(np.array([[1000.0, 1000.0], [-1000.0, 0.0]], np.float32))
    np.testing.assert_allclose(found, np.array([[-math.log(2)] * 2, [-1000, 0]]), atol=1e-5)


def attention(queries: Rows, keys: Rows, values: Rows) -> Floats:
    """One row, one head."""
    parts = (np.array(part, np.float32)[None, None] for part in (queries, keys, values))
    found: Floats = attended(*parts)[0]
    return found


def test_attention_is_the_mean_of_the_values_when_all_keys_are_alike() -> None:
    found = attention([[1, 2]], [[0, 0], [0, 0]], [[1, 0], [3, 4]])
    np.testing.assert_allclose(found, [[2, 2]], atol=1e-6)


def test_a_token_does_not_attend_to_later_ones() -> None:
    found = attention([[0.0], [0.0]], [[0.0], [0.0]], [[1.0], [3.0]])
    np.testing.assert_allclose(found, [[1], [2]], atol=1e-6)
