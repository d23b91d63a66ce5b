"""What is said about what was measured."""

import pytest

from voiceassist.sound.advice import Findings, SoundVerdict, Trial, advised, verdict_of
from voiceassist.sound.soundcheck import Echo, MeasuredPhrase

GOOD = MeasuredPhrase(level_dbfs=-24.0, peak_dbfs=-9.0, clipped=0.0, snr_db=35.0)


def phrase(**other: float) -> MeasuredPhrase:
    values = {"level_dbfs": -24.0, "peak_dbfs": -9.0, "clipped": 0.0, "snr_db": 35.0, **other}
    return MeasuredPhrase(**values)


def said(phrase: MeasuredPhrase | None = GOOD, *, understood: bool = True) -> Trial:
    words = "affirm" if understood else ""
    return Trial("affirm", words, understood and phrase is not None, phrase)


def findings(*trials: Trial, rate_hz: int = 48_000) -> Findings:
    return Findings(rate_hz, -60.0, trials)


def told(found: Findings) -> dict[str, tuple[str, str]]:
    return {each.about: (each.weight.value, each.text) for each in advised(found)}


def test_where_all_is_well_there_is_nothing_to_change() -> None:
    advice = advised(findings(said(), said(), said()))
    assert advice == ()
    assert verdict_of(advice) is SoundVerdict.OK


@pytest.mark.parametrize(
    ("level", "about", "weight", "change"),
    [
        (-37.9, "", "", ""),
        (-39.0, "soft", "usable", "raise its input level by about 13 dB"),
        (-51.0, "soft", "bad", "raise its input level by about 25 dB"),
        (-12.1, "", "", ""),
        (-10.0, "loud", "usable", "lower the input level by about 16 dB"),
    ],
)
def test_a_level_is_changed_by_what_lacks_to_a_good_one(
    level: float, about: str, weight: str, change: str
) -> None:
    found = told(findings(said(phrase(level_dbfs=level))))
    assert list(found) == ([about] if about else [])
    if about:
        assert found[about][0] == weight
        assert change in found[about][1]


@pytest.mark.parametrize(
    ("clipped", "weight"), [(0.0004, ""), (0.002, "usable"), (0.02, "bad"), (0.6, "bad")]
)
def test_clipping_is_told_by_its_share(clipped: float, weight: str) -> None:
    found = told(findings(said(), said(phrase(clipped=clipped))))
    assert (found.get("clipping", ("", ""))[0]) == weight
    if weight:
        assert "It clips" in found["clipping"][1]


@pytest.mark.parametrize(("gap", "weight"), [(15.0, ""), (9.0, "usable"), (4.0, "bad")])
def test_noise_near_the_voice_is_told_with_what_helps(gap: float, weight: str) -> None:
    found = told(findings(*[said(phrase(snr_db=gap))] * 3))
    assert (found.get("noise", ("", ""))[0]) == weight
    if weight:
        assert f"only {gap:.0f} dB below your voice" in found["noise"][1]
        assert "headset" in found["noise"][1]


def test_one_phrase_out_of_the_way_does_not_speak_for_all() -> None:
    assert told(findings(said(), said(phrase(level_dbfs=-60.0)), said())) == {}


@pytest.mark.parametrize(
    ("right", "weight"), [(3, ""), (2, "usable"), (1, "bad"), (0, "bad")]
)  # fmt: skip
def test_phrases_that_were_not_understood_are_counted(right: int, weight: str) -> None:
    trials = [said(understood=number < right) for number in range(3)]
    found = told(findings(*trials))
    assert (found.get("recognition", ("", ""))[0]) == weight
    if weight:
        assert f"{right} of 3" in found["recognition"][1]


def test_nothing_heard_at_all_is_bad_and_nothing_else_is_said() -> None:
    found = told(findings(said(None), said(None), said(None)))
    assert list(found) == ["silent"]
    assert found["silent"][0] == "bad"
    assert "I heard nothing" in found["silent"][1]


def test_a_phrase_that_was_missed_is_told() -> None:
    found = told(findings(said(), said(None), said()))
    assert "1 of 3" in found["silent"][1]


@pytest.mark.parametrize(("rate_hz", "told_of"), [(8_000, True), (16_000, False), (44_100, False)])
def test_half_the_rate_is_told(rate_hz: int, told_of: bool) -> None:
    assert ("rate" in told(findings(said(), rate_hz=rate_hz))) is told_of


def test_the_loudspeaker_in_the_microphone_is_told_and_is_no_fault() -> None:
    echo = Echo(level_dbfs=-31.4, delay_s=0.212, alike=0.9)
    found = Findings(48_000, -60.0, (said(),), echo, echo_tried=True)
    weight, text = told(found)["loudspeaker"]
    assert weight == "ok"
    assert "-31 dB" in text
    assert "212 ms" in text
    assert "--duplex half" in text
    assert verdict_of(advised(found)) is SoundVerdict.OK


def test_a_loudspeaker_that_is_not_heard_lets_one_cut_in() -> None:
    found = Findings(48_000, -60.0, (said(),), None, echo_tried=True)
    assert "--duplex full" in told(found)["loudspeaker"][1]


def test_a_loudspeaker_that_fails_is_told() -> None:
    found = told(Findings(48_000, -60.0, (said(),), None, True, speaker_failed=True))
    assert found["loudspeaker"][0] == "usable"
    assert "stopped meanwhile" in found["loudspeaker"][1]


def test_the_gravest_comes_first_and_makes_the_verdict() -> None:
    advice = advised(findings(said(phrase(clipped=0.5, snr_db=9.0)), rate_hz=8_000))
    assert advice[0].about == "clipping"
    assert verdict_of(advice) is SoundVerdict.BAD
