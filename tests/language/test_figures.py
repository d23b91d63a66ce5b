"""Typed figures: a sign or a gap inside them never vanishes."""

import pytest

from voiceassist.language.step import StepGrammar


@pytest.mark.parametrize(
    "text",
    [
        "- 12.5 V", "–12.5", "—5 V", "− 5 V", "--5 V", "-+5", "3-5 V", "3–5 V", "1/2 V", "3/4 V",
        "5 ± 0.2 V", "1 000 V", "2 000 ohm", "1 05 V", "8. 4", "8;4", "8+4", "8*4", "5×3", "<5 V",
        ">5", "12-13 V", "12+1", "+5", "correction 12-13 V",
    ],
)  # fmt: skip
def test_figures_that_are_no_plain_number_are_refused(anything: StepGrammar, text: str) -> None:
    understood = anything.parse(text)
    assert understood.meanings == ()
    assert understood.reason


@pytest.mark.parametrize("text", ["-5 V", "−0.5 V", "12.60 V", "8.4V", "2.1, 3.3, 4.8 V"])
def test_plain_figures_are_read(anything: StepGrammar, text: str) -> None:
    assert len(anything.parse(text).meanings) == 1


@pytest.mark.parametrize("text", ["note changed on 2026-01-12", "repair order 10-42"])
def test_notes_and_job_numbers_keep_their_signs(anything: StepGrammar, text: str) -> None:
    assert anything.parse(text).meanings
