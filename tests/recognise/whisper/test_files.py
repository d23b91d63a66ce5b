"""A Whisper model folder is looked at before the library is; and what its files say."""

import json
import struct
from collections.abc import Iterable
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from voiceassist.errors import RecogniseError
from voiceassist.recognise.choose import choose_listener
from voiceassist.recognise.moonshine.tokens import END
from voiceassist.recognise.whisper.files import check_folder
from voiceassist.recognise.whisper.shortlist import Shortlist
from voiceassist.recognise.whisper.spectrum import log_mel
from voiceassist.recognise.whisper.vocabulary import read_vocabulary
from voiceassist.recognise.whisper.weights import floats, read_variables

MARKS = ["<|endoftext|>", "<|startoftranscript|>", "<|en|>", "<|transcribe|>", "<|startofprev|>"]
MARKS += ["<|notimestamps|>", "<|nospeech|>"]


def string(text: str) -> bytes:
    return struct.pack("<H", len(text) + 1) + text.encode() + b"\0"


def variable(name: str, kind: int, shape: tuple[int, ...], data: bytes) -> bytes:
    head = struct.pack(f"<B{len(shape)}IBI", len(shape), *shape, kind, len(data))
    return string(name) + head + data


def model(variables: Iterable[bytes], aliases: Iterable[tuple[str, str]] = ()) -> bytes:
    """A file in CTranslate2's form, version 6, made by hand."""
    variables, aliases = list(variables), list(aliases)
    body = struct.pack("<I", 6) + string("WhisperSpec") + struct.pack("<II", 3, len(variables))
    body += b"".join(variables) + struct.pack("<I", len(aliases))
    return body + b"".join(string(new) + string(old) for new, old in aliases)


WEIGHTS = (
    variable("decoder/a", 0, (2,), np.array([1, -2], "<f4").tobytes()),
    variable("decoder/half", 4, (1, 2), np.array([[0.5, 3]], "<f2").tobytes()),
    variable("decoder/b/weight", 1, (2, 2), np.array([[100, -50], [10, 20]], "i1").tobytes()),
    variable("decoder/b/weight_scale", 0, (2,), np.array([100, 10], "<f4").tobytes()),
    variable("decoder/wide", 5, (2,), np.array([0x3F80, 0xC040], "<u2").tobytes()),
    variable("encoder/c", 2, (), np.array(6, "<i2").tobytes()),
)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """What looks like a whole model."""
    (tmp_path / "model.bin").write_bytes(model(WEIGHTS, [("decoder/d", "decoder/a")]))
    (tmp_path / "config.json").write_text("{}")
    (tmp_path / "vocabulary.json").write_text(json.dumps(["a", "b", *MARKS]))
    return tmp_path


def fault(folder: Path) -> str:
    """What is said of it."""
    with pytest.raises(RecogniseError) as caught:
        check_folder(folder)
    return str(caught.value)


def test_a_whole_folder_passes(folder: Path) -> None:
    check_folder(folder)


def test_numbers_of_every_kind_are_read(folder: Path) -> None:
    found = floats(read_variables(folder / "model.bin"), "decoder/")
    assert set(found) == {"a", "half", "b/weight", "wide", "d"}
    assert found["a"].tolist() == found["d"].tolist() == [1, -2]
    assert found["half"].tolist() == [[0.5, 3]]
    assert found["b/weight"].tolist() == [[1, -0.5], [1, 2]]
    assert found["wide"].tolist() == [1, -3]  # bfloat16: the upper half of IEEE 754 single


@pytest.mark.parametrize("name", ["model.bin", "config.json"])
def test_a_missing_file_is_named(folder: Path, name: str) -> None:
    (folder / name).unlink()
    assert fault(folder).startswith(f"{folder}: {name} is missing; name the folder")


def test_a_missing_vocabulary_is_named(folder: Path) -> None:
    (folder / "vocabulary.json").unlink()
    assert "vocabulary.json or vocabulary.txt is missing; copy the model again" in fault(folder)


@pytest.mark.parametrize("text", ["", "[", '{"a": 1}', "[1, 2]", '["a"]', "3"])
def test_another_vocabulary_is_refused(folder: Path, text: str) -> None:
    (folder / "vocabulary.json").write_text(text)
    with pytest.raises(RecogniseError, match="this is no vocabulary of a Whisper model"):
        read_vocabulary(folder)


def test_a_file_cut_off_anywhere_is_refused(folder: Path) -> None:
    file = folder / "model.bin"
    whole = file.read_bytes()
    for length in range(len(whole)):
        file.write_bytes(whole[:length])
        assert str(file) in fault(folder)


@pytest.mark.parametrize("other", ["TransformerSpec", "WhisperSpek"])
def test_a_model_of_another_kind_is_refused(folder: Path, other: str) -> None:
    data = model(WEIGHTS).replace(string("WhisperSpec"), string(other))
    (folder / "model.bin").write_bytes(data)
    assert "no whole Whisper model in CTranslate2's form; copy the model again" in fault(folder)


@given(st.binary(max_size=60))
def test_any_other_bytes_are_refused(tmp_path_factory: pytest.TempPathFactory, data: bytes) -> None:
    file = tmp_path_factory.mktemp("bytes") / "model.bin"
    file.write_bytes(data)
    with pytest.raises(RecogniseError):
        read_variables(file)


def test_no_folder_is_told(tmp_path: Path) -> None:
    assert "there is no such folder" in fault(tmp_path / "none")


def test_the_listener_refuses_at_once_what_it_cannot_use(folder: Path) -> None:
    with pytest.raises(RecogniseError, match="whisper needs a model; name its folder with --model"):
        choose_listener("whisper")
    with pytest.raises(RecogniseError, match="hears English, not 'ko'; use --listener vosk"):
        choose_listener("whisper", model=str(folder), language="ko")
    (folder / "model.bin").unlink()
    with pytest.raises(RecogniseError, match=r"model\.bin is missing"):
        choose_listener("whisper", model=str(folder))


# --- vocabulary ---


def test_tokens_are_texts_and_marks(whisper_model: Path) -> None:
    vocabulary = read_vocabulary(whisper_model)
    # GPT-2's vocabulary: its first tokens are the visible characters, its last the end mark.
    assert vocabulary.texts[:3] == ("!", '"', "#")
    assert vocabulary.end == 50256
    assert vocabulary.texts[50256] is None
    assert vocabulary.texts[262] == " the"


@pytest.mark.parametrize("text", [" twelve point six volts", " don't", " ö - 3"])
def test_a_text_is_cut_into_tokens_that_spell_it(whisper_model: Path, text: str) -> None:
    vocabulary = read_vocabulary(whisper_model)
    assert "".join(vocabulary.texts[token] or "?" for token in vocabulary.cut(text)) == text


def test_a_text_opens_with_examples_and_is_steered(folder: Path) -> None:
    vocabulary = read_vocabulary(folder)
    number = {mark: 2 + n for n, mark in enumerate(MARKS)}
    start, no_times = number["<|startoftranscript|>"], number["<|notimestamps|>"]
    assert vocabulary.opening("") == [start]
    assert vocabulary.opening("ab") == [number["<|startofprev|>"], 0, 1, start]
    assert vocabulary.steering("en", many_languages=False) == [no_times]
    assert vocabulary.steering("en", many_languages=True) == [
        number["<|en|>"], number["<|transcribe|>"], no_times
    ]  # fmt: skip


def test_every_word_of_a_grammar_can_be_spelled_with_the_shortlist(whisper_model: Path) -> None:
    words = {"kilohms", "zzyzx", "x-ray", "twelve"}
    shortlist = Shortlist.of(read_vocabulary(whisper_model), words, common=300)
    assert shortlist.tokens.texts[END] == ""
    assert shortlist.ids[END] == 50256
    assert len(set(shortlist.ids.tolist())) == len(shortlist.ids) < 700
    for word in ("kilohms", "zzyzx", "xray", "twelve"):
        assert set(word) <= set(shortlist.tokens.inner)
    assert shortlist.unspelled(words) == ()
    assert shortlist.unspelled(["볼트", "volt", "ohm-\u2126"]) == ("ohm-\u2126", "볼트")
    # The usual spelling is one token.
    assert "twelve" in shortlist.tokens.starting


# --- spectrum ---


@pytest.mark.parametrize("hz", [440, 1000, 3000])
def test_a_tone_is_loudest_in_its_band(hz: int) -> None:
    tone = np.sin(2 * np.pi * hz * np.arange(16_000) / 16_000).astype(np.float32)
    found = log_mel(0.1 * tone, 80)
    assert found.shape == (80, 100)
    # Slaney's scale: 200/3 Hz a mel below 1 kHz, above it 27 mels for each factor 6.4; 80 bands
    # stand between 0 and 8 kHz at equal distances.
    mel = hz * 3 / 200 if hz < 1000 else 15 + 27 * np.log(hz / 1000) / np.log(6.4)
    top = 15 + 27 * np.log(8) / np.log(6.4)
    assert abs(found[:, 10:90].mean(axis=1).argmax() - (81 * mel / top - 1)) < 1


def test_levels_lie_within_two_of_the_loudest() -> None:
    noise = np.random.default_rng(1).standard_normal(8000).astype(np.float32)
    noise[4000:] *= 1e-6
    found = log_mel(noise, 80)
    assert found.max() - found.min() == pytest.approx(2, abs=1e-5)  # 80 dB, in quarters of 20 dB
