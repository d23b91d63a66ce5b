"""Meanings as JSON objects, and back, without loss."""

from collections.abc import Callable, Mapping
from decimal import Decimal, InvalidOperation
from typing import cast

from voiceassist.errors import LanguageError
from voiceassist.language import meanings
from voiceassist.measure.units import unit


def to_json(meaning: meanings.Meaning) -> dict[str, object]:
    """The meaning as a JSON object.

    Always with ``kind``, ``value`` (decimal text in the unit as spoken, or None), ``unit``
    (symbol or None), ``name`` and ``text``. A spread adds ``low`` and ``high``, a series
    ``readings``, a correction ``correction`` (true); a command or correction that is about
    something by its name, ``about``.
    """
    if isinstance(meaning, meanings.Correction):
        return {**to_json(meaning.meaning), "correction": True} | _about(meaning.of)
    return {"kind": meaning.kind, "value": None, "unit": None, "name": "", "text": ""} | _own(
        meaning
    )


def _own(meaning: meanings.Plain) -> dict[str, object]:  # noqa: PLR0911 - one for each class
    match meaning:
        case meanings.Reading(value, spoken_unit, label):
            symbol = None if spoken_unit is None else spoken_unit.symbol
            return {"value": str(value), "unit": symbol, "name": label}
        case meanings.Spread(low, high):
            return {"low": to_json(low), "high": to_json(high)}
        case meanings.Series(readings):
            return {"readings": [to_json(reading) for reading in readings]}
        case meanings.OverRange():
            return {}
        case meanings.Command(name, about):
            return {"name": name} | _about(about)
        case meanings.Lamp(name) | meanings.Answer(name):
            return {"name": name}
        case meanings.Note(text):
            return {"text": text}
        case meanings.Identifier(name, text):
            return {"name": name, "text": text}


def _about(name: str) -> dict[str, object]:
    return {"about": name} if name else {}


def from_json(data: Mapping[str, object]) -> meanings.Meaning:
    """The meaning of an object made by ``to_json``.

    Raises:
        LanguageError: it is not such an object.
    """
    kind = data.get("kind")
    reader = _READERS.get(kind) if isinstance(kind, str) else None
    if reader is None:
        raise LanguageError(
            f"{kind!r} is not a kind of meaning", remedy="use one of " + ", ".join(_READERS)
        )
    meaning = reader(data)
    if data.get("correction") is not True:
        return meaning
    return meanings.Correction(meaning, _text(data, "about"))


def _text(data: Mapping[str, object], key: str) -> str:
    value = data.get(key, "")
    if not isinstance(value, str):
        raise LanguageError(f"{key} is {value!r}", remedy="it must be text")
    return value


def _read_reading(data: Mapping[str, object]) -> meanings.Plain:
    if "low" in data and "high" in data:
        return meanings.Spread(_one(data["low"]), _one(data["high"]))
    if "readings" in data:
        readings = data["readings"]
        if not isinstance(readings, list):
            raise LanguageError(f"readings is {readings!r}", remedy="it must be a list")
        return meanings.Series(tuple(map(_one, readings)))
    symbol = data.get("unit")
    try:
        value = Decimal(_text(data, "value"))
    except InvalidOperation:
        raise LanguageError(f"{data.get('value')!r} is not a number") from None
    return meanings.Reading(
        value, None if symbol is None else unit(_text(data, "unit")), _text(data, "name")
    )


def _one(data: object) -> meanings.Reading:
    meaning = from_json(cast(Mapping[str, object], data)) if isinstance(data, Mapping) else None
    if not isinstance(meaning, meanings.Reading):
        raise LanguageError(f"{data!r} is not one reading")
    return meaning


_READERS: Mapping[str, Callable[[Mapping[str, object]], meanings.Plain]] = {
    "reading": _read_reading,
    "over_range": lambda data: meanings.OverRange(),
    "lamp": lambda data: meanings.Lamp(_text(data, "name")),
    "answer": lambda data: meanings.Answer(_text(data, "name")),
    "command": lambda data: meanings.Command(_text(data, "name"), _text(data, "about")),
    "note": lambda data: meanings.Note(_text(data, "text")),
    "identifier": lambda data: meanings.Identifier(_text(data, "name"), _text(data, "text")),
}
