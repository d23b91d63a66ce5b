"""The "how to say it" table, made from the grammar itself."""

from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal
from itertools import product

from voiceassist.language.expectation import AT
from voiceassist.language.filling import fill_talk
from voiceassist.language.jsgf import (
    Alternatives,
    Expression,
    Optional,
    Ref,
    Repeat,
    Sequence,
    Tag,
    Word,
)
from voiceassist.language.language import Language
from voiceassist.language.meanings import Meaning, Reading
from voiceassist.language.semantics import fold
from voiceassist.language.shaping import pruned
from voiceassist.measure.quantity import Quantity

#: Readings shown as examples.
EXAMPLES = ("12.60 V", "8.4 V", "-0.2 V", "350 mV", "15 A", "4.7 kΩ", "850 rpm", "25 %", "-5 °C")
#: Rules listed in full.
LISTED = ("readings.over-range", "readings.lamp", "answers.answer", "commands.command")
#: The rule of all talk that is a whole phrase, and how many ways of a meaning are shown.
SAID, MOST_TALK = "talking.said", 8
#: How many further ways a row shows.
MOST_OTHERS = 5


def plain_ways(
    rules: Mapping[str, Expression], body: Expression
) -> Iterator[tuple[tuple[str, ...], tuple[str, ...]]]:
    """Words and tags of every way through ``body`` with all optional parts left out."""
    match body:
        case Word(text):
            yield (text,), ()
        case Tag(text):
            yield (), (text,)
        case Ref(name):
            if name in rules:
                yield from plain_ways(rules, rules[name])
        case Alternatives(options, _):
            for option in options:
                yield from plain_ways(rules, option)
        case Sequence(parts):
            for ways in product(*(list(plain_ways(rules, part)) for part in parts)):
                yield (
                    tuple(word for words, _ in ways for word in words),
                    tuple(tag for _, tags in ways for tag in tags),
                )
        case Optional():
            yield (), ()
        case Repeat(inner, at_least):
            yield from plain_ways(rules, inner) if at_least else [((), ())]


def ways_to_say(language: Language, rule: str) -> dict[Meaning, list[str]]:
    """Each meaning of ``rule`` with the ways to say it; the first is what the assistant says."""
    found: dict[Meaning, list[str]] = {}
    for words, tags in plain_ways(language.rules, language.rules[rule]):
        meaning = fold(tags)
        if meaning is not None:
            found.setdefault(meaning, [language.say(meaning)]).append(" ".join(words))
    return {meaning: list(dict.fromkeys(ways)) for meaning, ways in found.items()}


def table(language: Language, headings: tuple[str, str, str]) -> str:
    """A Markdown table: what is meant, how to say it, and other ways; ``headings`` above."""
    rows = [headings, ("---",) * 3, *_examples(language)]
    for rule in LISTED:
        for meaning, ways in ways_to_say(language, rule).items():
            first, *others = ways
            rows.append((_name(meaning), first, ", ".join(others[:MOST_OTHERS])))
    return "\n".join(f"| {' | '.join(row)} |" for row in rows) + "\n"


def talk_table(language: Language, headings: tuple[str, str, str]) -> str:
    """A Markdown table of talk: where it is understood, what is meant, some ways to say it."""
    rules = language.talk.rules
    if SAID not in rules:
        return ""
    anywhere = _said_at(rules, "")
    rows = [headings, ("---",) * 3]
    for place, names in (("anywhere", anywhere), *((at, _said_at(rules, at)) for at in AT)):
        own = [name for name in names if place == "anywhere" or name not in anywhere]
        found: dict[Meaning, list[str]] = {}
        for name in own:
            for words, tags in plain_ways(rules, rules[name]):
                meaning = fold(tags)
                if meaning is not None:
                    found.setdefault(meaning, []).append(" ".join(words))
        for meaning, ways in found.items():
            each = list(dict.fromkeys(ways))
            told = ", ".join(each[:: len(each) // MOST_TALK + 1])  # spread over all there are
            rows.append((place, _told(language, meaning), told))
    return "\n".join(f"| {' | '.join(row)} |" for row in rows) + "\n"


def _said_at(rules: Mapping[str, Expression], at: str) -> list[str]:
    """The rules of whole phrases that apply where ``at`` is awaited, in the order of the files."""
    filled = fill_talk([at], (), (), good=True)
    kept = pruned({**rules, **filled}, SAID)
    return [name for name in rules if name in kept and name.endswith("-said")]


def _told(language: Language, meaning: Meaning) -> str:
    about = getattr(meaning, "about", "")
    name = language.say(meaning) if isinstance(meaning, Reading) else _name(meaning)
    return f"{name}, {about}" if about else name


def _examples(language: Language) -> Iterable[tuple[str, str, str]]:
    for written in EXAMPLES:
        quantity = Quantity.parse(written)
        reading = Reading(Decimal(f"{quantity.value:f}"), quantity.unit)
        first, singly = language.say(reading), language.say(reading, singly=True)
        yield written, first, singly if singly != first else ""


def _name(meaning: Meaning) -> str:
    """What the program calls it; a meaning without a name by its kind."""
    return getattr(meaning, "name", "") or meaning.kind.replace("_", "-")
