"""Settings: defaults, file, environment, command line; later wins."""

from pathlib import Path

import pytest

from voiceassist.app.settings.settings import Settings, load
from voiceassist.errors import SettingsError


def written(folder: Path, text: str) -> Path:
    file = folder / "settings.toml"
    file.write_text(text, encoding="utf-8")
    return file


def test_without_a_file_the_defaults_hold(tmp_path: Path) -> None:
    assert load(tmp_path / "none.toml", {}) == Settings()


def test_the_later_source_wins(tmp_path: Path) -> None:
    file = written(tmp_path, 'detail = "brief"\nrate_wpm = 140\nvoice = "espeak"\n')
    found = load(file, {"VOICEASSIST_DETAIL": "teaching", "VOICEASSIST_RATE_WPM": "150"})
    found = found.changed({"rate_wpm": 170}, "command line")
    assert (found.voice, found.detail, found.rate_wpm) == ("espeak", "teaching", 170)


def test_other_variables_are_left_alone() -> None:
    assert load(Path("none"), {"VOICEASSIST_NODE_MODULES": "x", "PATH": "y"}) == Settings()


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("detial = 'brief'", "there is no setting 'detial'; did you mean 'detail'?"),
        ("detail = 'loud'", "detail is 'loud'; choose brief, normal or teaching"),
        ("rate_wpm = 5", "rate_wpm is 5; choose 80 to 300"),
        ("rate_wpm = 'fast'", "rate_wpm is 'fast'; write a whole number"),
        ("voice = 3", "voice is 3; write text in quotes"),
        ("voice = ", "this is not TOML"),
        ("keep_sound = 'yes'", "keep_sound is 'yes'; choose off, on, or days:30"),
        ("keep_sound = 'days:0'", "keep_sound is 'days:0'; choose off, on, or days:30"),
        ("keep_sound = 'days:12345'", "keep_sound is 'days:12345'; choose off, on, or days:30"),
    ],
)
def test_a_setting_that_cannot_be_used_is_named_with_its_file(
    tmp_path: Path, text: str, found: str
) -> None:
    file = written(tmp_path, text)
    with pytest.raises(SettingsError) as caught:
        load(file, {})
    assert str(caught.value).startswith(str(file))
    assert found in str(caught.value)


@pytest.mark.parametrize(
    ("keep_sound", "days"), [("off", None), ("on", None), ("days:1", 1), ("days:365", 365)]
)
def test_sound_is_kept_for_ever_or_for_so_many_days(keep_sound: str, days: int | None) -> None:
    found = load(Path("none"), {"VOICEASSIST_KEEP_SOUND": keep_sound})
    assert (found.keep_sound, found.sound_days) == (keep_sound, days)


def test_a_bad_variable_is_named() -> None:
    with pytest.raises(SettingsError, match=r"^VOICEASSIST_DETAIL: detail is 'x'"):
        load(Path("none"), {"VOICEASSIST_DETAIL": "x"})


def test_settings_that_are_no_text_are_told(tmp_path: Path) -> None:
    file = tmp_path / "settings.toml"
    file.write_bytes(b'voice = "\xff"\n')
    with pytest.raises(SettingsError, match=r"settings\.toml: this is not UTF-8 text; save it"):
        load(file, {})


def test_settings_with_a_byte_order_mark_are_read(tmp_path: Path) -> None:
    """As some editors save UTF-8 (common practice, no source)."""
    file = tmp_path / "settings.toml"
    file.write_bytes(b'\xef\xbb\xbfvoice = "none"\n')
    assert load(file, {}).voice == "none"


def test_a_folder_in_the_place_of_the_settings_is_told(tmp_path: Path) -> None:
    with pytest.raises(SettingsError, match="this is a folder; a file is wanted in its place"):
        load(tmp_path, {})
