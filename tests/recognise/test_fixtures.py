"""The recorded phrases are what their labels say, and how well they are heard."""

import importlib.util
import shutil
from decimal import Decimal
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
import soundfile
import yaml

from voiceassist.devices.wav import read_clip
from voiceassist.language.expectation import Expectation
from voiceassist.language.language import Language
from voiceassist.language.meanings import (
    Answer,
    Command,
    Correction,
    Lamp,
    Meaning,
    OverRange,
    Plain,
    Reading,
)
from voiceassist.measure.units import unit
from voiceassist.recognise.base import HeardClip
from voiceassist.recognise.sphinx import SphinxListener
from voiceassist.sound.clip import LISTEN_RATE_HZ
from voiceassist.sound.level import level_of

HOME = Path(__file__).parents[2] / "audio_fixtures"
LABELS = sorted(path for path in HOME.glob("*/*.yaml") if path.name != "script.yaml")
KEYS = ["words", "start_s", "end_s", "rate_hz", "voice", "noise", "licence"]
MOST_BYTES = 10_000_000


def phrases(folder: str) -> list[dict[str, Any]]:
    """The phrases that a folder's script lists."""
    text = (HOME / folder / "script.yaml").read_text(encoding="utf-8")
    listed: list[dict[str, Any]] = yaml.safe_load(text)["phrases"]
    return listed


@pytest.mark.parametrize("folder", ["demo", "phrases"])
def test_every_listed_phrase_has_its_sound_and_its_label_and_there_are_no_others(
    folder: str,
) -> None:
    names = [phrase["name"] for phrase in phrases(folder)]
    assert len(set(names)) == len(names)
    assert {path.stem for path in (HOME / folder).glob("*.wav")} == set(names)
    labels = {path.stem for path in (HOME / folder).glob("*.yaml")} - {"script"}
    assert labels == set(names)


@pytest.mark.parametrize("folder", ["demo", "phrases"])
def test_a_label_has_the_words_of_the_script(folder: str) -> None:
    for phrase in phrases(folder):
        path = HOME / folder / f"{phrase['name']}.yaml"
        label = yaml.safe_load(path.read_text(encoding="utf-8"))
        assert label["words"] == phrase.get("words", ""), path


@pytest.mark.parametrize("path", LABELS, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_a_label_tells_the_truth_about_its_sound(path: Path) -> None:
    label = yaml.safe_load(path.read_text(encoding="utf-8"))
    assert list(label) == KEYS
    about = soundfile.info(path.with_suffix(".wav"))
    assert (about.samplerate, about.channels, about.subtype) == (LISTEN_RATE_HZ, 1, "PCM_16")
    assert label["rate_hz"] == about.samplerate
    clip = read_clip(path.with_suffix(".wav"))
    assert level_of(clip).clipped == 0
    if label["words"]:
        assert 0 < label["start_s"] < label["end_s"] < clip.seconds
        assert -26 < level_of(clip).rms_dbfs < -17
    else:
        assert label["start_s"] is None
        assert level_of(clip).rms_dbfs < -35


def test_the_recordings_are_small_enough_to_ship() -> None:
    assert sum(path.stat().st_size for path in HOME.rglob("*.wav")) < MOST_BYTES


@pytest.fixture
def maker() -> ModuleType:
    """The script that made them."""
    spec = importlib.util.spec_from_file_location(
        "make_fixtures", Path(__file__).parents[1] / "make_fixtures.py"
    )
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_script_makes_the_same_bytes_again(maker: ModuleType, tmp_path: Path) -> None:
    if shutil.which("flite") is None:
        pytest.skip("the package flite is not installed")
    for phrase in phrases("phrases")[::6]:
        made = maker.make_phrase(tmp_path, phrase)
        for suffix in (".wav", ".yaml"):
            there = HOME / "phrases" / (phrase["name"] + suffix)
            assert made.with_suffix(suffix).read_bytes() == there.read_bytes()


def meaning_of(written: dict[str, Any]) -> Meaning:
    """The meaning that the script gives by hand."""
    plain: Plain
    match written["kind"]:
        case "reading":
            plain = Reading(Decimal(written["value"]), unit(written["unit"]))
        case "over_range":
            plain = OverRange()
        case "lamp":
            plain = Lamp(written["name"])
        case "answer":
            plain = Answer(written["name"])
        case _:
            plain = Command(written["name"])
    return Correction(plain) if written.get("correction") else plain


def step(phrase: dict[str, Any]) -> Expectation:
    """What the step at which the phrase is spoken is ready to hear."""
    expect = phrase.get("expect", "")
    if expect == "lamp":
        return Expectation(lamp=True)
    return Expectation((expect,), {"voltage": unit("V")}.get(expect)) if expect else Expectation()


Results = list[tuple[dict[str, Any], HeardClip, list[Meaning]]]


@pytest.fixture(scope="module")
def results(english: Language, pronunciations: str) -> Results:
    """Each phrase with what was heard, and the first meaning of each candidate kept."""
    listener = SphinxListener(pronunciations)
    found: Results = []
    for phrase in phrases("phrases"):
        grammar = english.compose(step(phrase))
        listener.prepare(grammar)
        heard = listener.hear(read_clip(HOME / "phrases" / f"{phrase['name']}.wav"))
        floor = heard.none_of_these if heard.none_of_these is not None else 0.0
        kept = [grammar.parse(c.words).meanings[:1] for c in heard.candidates if c.score >= floor]
        found.append((phrase, heard, [m for meanings in kept for m in meanings]))
    return found


def split(results: Results, *, noise: bool) -> tuple[list[str], list[str], int]:
    """Names heard rightly, names silently wrong, and how many there are, of the phrases with a
    meaning that were recorded with or without noise."""
    right: list[str] = []
    wrong: list[str] = []
    total = 0
    for phrase, _heard, meanings in results:
        if "meaning" not in phrase or ("noise" in phrase) is not noise:
            continue
        total += 1
        if meanings:
            said = meaning_of(phrase["meaning"])
            (right if meanings[0] == said else wrong).append(phrase["name"])
    return right, wrong, total


def test_in_quiet_nine_phrases_in_ten_are_heard_rightly(results: Results) -> None:
    right, _wrong, total = split(results, noise=False)
    assert total > 40
    assert len(right) >= 0.9 * total, right


def test_in_quiet_hardly_a_phrase_is_silently_taken_for_another(results: Results) -> None:
    _right, wrong, total = split(results, noise=False)
    assert len(wrong) <= 0.05 * total, wrong


def test_other_talk_and_noise_are_seldom_taken_for_a_phrase(results: Results) -> None:
    negative = [(p["name"], meanings) for p, _heard, meanings in results if "meaning" not in p]
    assert len(negative) >= 9
    taken = [name for name, meanings in negative if meanings]
    assert len(taken) <= 1, taken


def test_silence_gives_nothing(results: Results) -> None:
    (silence,) = [heard for phrase, heard, _m in results if phrase["name"] == "s01"]
    assert silence.candidates == ()
