"""Figures are read by the guess as they are said."""

import pytest

from voiceassist.language.said_figures import as_said


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("12.3 at idle", "twelve point three at idle"),
        ("60 with the key on", "sixty with the key on"),
        ("it shows 0.02 v", "it shows zero point zero two volts"),
        ("45 ma", "forty five milliamps"),
        ("120", "one two zero"),
        ("7.5.2 and a v8", "7.5.2 and a v8"),
    ],
)
def test_figures_are_spelled_and_other_words_left(typed: str, said: str) -> None:
    assert " ".join(as_said(typed.split())) == said
