"""Readings, limits and answers as the technician sees and hears them."""

from collections.abc import Sequence
from decimal import Decimal

from voiceassist.language.meanings import Answer, Lamp, Meaning, Reading, Series, Spread
from voiceassist.language.phrasebook import Phrasebook
from voiceassist.measure.limit import Limit
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.sweep import SweepLimit
from voiceassist.measure.units import Unit
from voiceassist.procedure.model import ANSWERS, Step

_FINEST = Decimal("0.001")

#: So many words beside the parts of a list that are told carry nothing: "ok, it is now".
_MOST_BESIDE = 3


def show_limit(limit: Limit, book: Phrasebook) -> str:
    """The limit in words and figures: "12.1 V to 12.8 V"."""
    if limit.low is None:
        return book.plain("limit.at_most", high=short(limit.high))
    if limit.high is None:
        return book.plain("limit.at_least", low=short(limit.low))
    return book.plain("limit.between", low=short(limit.low), high=short(limit.high))


def show_sweep(sweep: SweepLimit, book: Phrasebook) -> str:
    """What the readings of a sweep should do, in words and figures."""
    parts = [book.plain("sweep.rising" if sweep.rising else "sweep.falling")]
    parts += [book.plain("sweep.from", limit=sweep.start.text)] if sweep.start else []
    parts += [book.plain("sweep.to", limit=sweep.end.text)] if sweep.end else []
    return " ".join(parts)


def short(quantity: Quantity | None) -> str:
    """A computed quantity without the zeros and far decimals that arithmetic leaves behind."""
    if quantity is None:
        return ""
    value = quantity.value
    exponent = value.as_tuple().exponent
    if isinstance(exponent, int) and exponent < -3:
        value = value.quantize(_FINEST)
    value = value.normalize()
    return f"{value:f} {quantity.unit}"


def show(meaning: Meaning, step: Step, book: Phrasebook) -> str:
    """What was meant, short: "12.60 V", "bright", "runs on"."""
    if isinstance(meaning, Reading):
        return _figures(meaning, step.unit)
    if isinstance(meaning, Spread):
        ends = (_figures(end, step.unit) for end in (meaning.low, meaning.high))
        return book.plain("list.to").join(ends)
    if isinstance(meaning, Series):
        return ", ".join(_figures(reading, step.unit) for reading in meaning.readings)
    if isinstance(meaning, Answer):
        return show_answer(meaning, step, book)
    return book.say(meaning)  # identifiers too: read back in the words to spell them


def _figures(reading: Reading, own: Unit | None) -> str:
    unit = reading.unit or own
    return f"{reading.value:f} {unit}" if unit else f"{reading.value:f}"


def show_critical(meaning: Meaning, step: Step, book: Phrasebook) -> str:
    """As ``show``; a number that sounds like another is followed by its digits one by one.

    A hospital rule for numbers read back: "fifteen, one five" (USA Health, safety skills).
    """
    shown = show(meaning, step, book)
    if isinstance(meaning, Reading) and sounds_like_another(meaning.value):
        unit = meaning.unit or step.unit
        return f"{shown}, {book.spell(Reading(meaning.value, unit))}"
    return shown


def sounds_like_another(value: Decimal) -> bool:
    """True for a number with thirteen to nineteen, or thirty, forty ... ninety in it.

    They are mistaken for each other ("fifteen", "fifty") by people and recognisers alike.
    """
    digits = str(abs(int(value)))
    last = int(digits[-2:])
    return 13 <= last <= 19 or (last >= 30 and last % 10 == 0)


def show_answer(answer: Answer, step: Step, book: Phrasebook) -> str:
    """The first phrase the procedure gives for an answer of its own, or plain yes and no."""
    own = [r.phrases[0] for r in step.replies if r.name == answer.name and r.phrases]
    plain = {name: key for key, name in ANSWERS.items()}
    return own[0] if own else book.plain(f"answer.{plain[answer.name]}")


def show_lamps(states: Sequence[str], book: Phrasebook) -> str:
    """Lamp states joined: "bright, or flickering"."""
    return book.join("list.or", (book.say(Lamp(state)) for state in states))


def spoken_name(step: str) -> str:
    """A step's name as words: "feed lamp"."""
    return step.replace("-", " ")


def parts_left(text: str, words: str) -> tuple[str, ...]:
    """Of the list of work ``text`` what is left where ``words`` tell some of it, and little else.

    Empty where no part is told as it stands, or each: "tools out, minus clamp on".
    """
    said = words.lower().replace(",", " ").split()
    parts = tuple(part.removeprefix("and ").removeprefix("then ") for part in text.split(", "))
    told = [part for part in parts if set(part.split()) <= set(said)]
    beside = [word for word in said if not any(word in part.split() for part in told)]
    left = tuple(part for part in parts if part not in told)
    return left if told and len(beside) <= _MOST_BESIDE else ()
