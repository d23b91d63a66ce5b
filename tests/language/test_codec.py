"""Meanings as JSON and back."""

import inspect
import json
from decimal import Decimal

import pytest

from voiceassist.errors import LanguageError, MeasureError
from voiceassist.language import meanings
from voiceassist.language.codec import from_json, to_json
from voiceassist.language.meanings import (
    Answer,
    Command,
    Correction,
    Identifier,
    Lamp,
    Meaning,
    Note,
    OverRange,
    Reading,
    Series,
    Spread,
)
from voiceassist.measure.units import unit

_READING = Reading(Decimal("12.60"), unit("V"), "low")
SAMPLES: list[Meaning] = [
    _READING,
    Reading(Decimal("-0.050")),
    Reading(Decimal("4700")),
    Spread(_READING, Reading(Decimal(13), unit("V"))),
    Series((_READING, Reading(Decimal("2.5")))),
    OverRange(),
    Lamp("bright"),
    Answer("runs-on"),
    Command("repeat"),
    Note('rust, "green" at pin 2'),
    Identifier("vin", "1G4AH59H45G118341"),
]
SAMPLES += [Correction(sample) for sample in SAMPLES if not isinstance(sample, Correction)]


def test_every_class_of_meaning_has_a_sample_here() -> None:
    classes = {
        member
        for _, member in inspect.getmembers(meanings, inspect.isclass)
        if member.__module__ == meanings.__name__ and hasattr(member, "kind")
    }
    assert {type(sample) for sample in SAMPLES} == classes


@pytest.mark.parametrize("meaning", SAMPLES)
def test_a_meaning_survives_json(meaning: Meaning) -> None:
    text = json.dumps(to_json(meaning))
    assert repr(from_json(json.loads(text))) == repr(meaning)


@pytest.mark.parametrize("meaning", SAMPLES)
def test_every_object_has_the_common_keys(meaning: Meaning) -> None:
    assert {"kind", "value", "unit", "name", "text"} <= to_json(meaning).keys()


def test_a_value_is_text_in_the_unit_as_spoken() -> None:
    assert to_json(Reading(Decimal("12.60"), unit("mV"))) == {
        "kind": "reading",
        "value": "12.60",
        "unit": "mV",
        "name": "",
        "text": "",
    }


@pytest.mark.parametrize(
    ("data", "part"),
    [
        ({}, "None is not a kind"),
        ({"kind": "banana"}, "'banana' is not a kind"),
        ({"kind": "reading", "value": "twelve"}, "not a number"),
        ({"kind": "reading", "value": 12}, "must be text"),
        ({"kind": "reading", "low": {}, "high": {}}, "not a kind"),
        ({"kind": "reading", "low": {"kind": "over_range"}, "high": 1}, "not one reading"),
        ({"kind": "reading", "readings": 3}, "must be a list"),
        ({"kind": "lamp", "name": None}, "must be text"),
    ],
)
def test_an_object_that_is_no_meaning_is_refused(data: dict[str, object], part: str) -> None:
    with pytest.raises(LanguageError, match=part):
        from_json(data)


def test_an_unknown_unit_is_refused() -> None:
    with pytest.raises(MeasureError, match="furlong"):
        from_json({"kind": "reading", "value": "1", "unit": "furlong"})
