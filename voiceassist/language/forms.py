"""The "how to say it" table, made from the grammar itself."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from decimal import Decimal
from itertools import product

from voiceassist.language import jsgf
from voiceassist.language.expectation import AT
from voiceassist.language.filling import SUITS, fill_talk
from voiceassist.language.language import Language
from voiceassist.language.meanings import Meaning, Reading
from voiceassist.language.network import Networks
from voiceassist.language.semantics import fold
from voiceassist.language.shaping import pruned
from voiceassist.language.walking import Walker
from voiceassist.measure.quantity import Quantity

#: Readings shown as examples.
EXAMPLES = ("12.60 V", "8.4 V", "-0.2 V", "350 mV", "15 A", "4.7 kΩ", "850 rpm", "25 %", "-5 °C")
#: Rules listed in full.
LISTED = ("readings.over-range", "readings.lamp", "answers.answer", "commands.command")
#: The rule of all talk that is a whole phrase.
SAID = "talking.said"
#: What examples of talk call a reading, a test point, a state of the vehicle and a cause.
NAMES, STATE, CAUSE = ("feed", "feed pin"), "key on", "module"
#: How many further ways a row shows.
MOST_OTHERS = 5


def plain_ways(
    rules: Mapping[str, jsgf.Expression], body: jsgf.Expression
) -> Iterator[tuple[tuple[str, ...], tuple[str, ...]]]:
    """Words and tags of every way through ``body`` with all optional parts left out."""
    match body:
        case jsgf.Word(text):
            yield (text,), ()
        case jsgf.Tag(text):
            yield (), (text,)
        case jsgf.Ref(name):
            if name in rules:
                yield from plain_ways(rules, rules[name])
        case jsgf.Alternatives(options, _):
            for option in options:
                yield from plain_ways(rules, option)
        case jsgf.Sequence(parts):
            for ways in product(*(list(plain_ways(rules, part)) for part in parts)):
                yield (
                    tuple(word for words, _ in ways for word in words),
                    tuple(tag for _, tags in ways for tag in tags),
                )
        case jsgf.Optional():
            yield (), ()
        case jsgf.Repeat(inner, at_least):
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
            rows.append((_called(meaning), first, ", ".join(others[:MOST_OTHERS])))
    return "\n".join(f"| {' | '.join(row)} |" for row in rows) + "\n"


def talk_table(language: Language, headings: tuple[str, str, str]) -> str:
    """A Markdown table of talk: what is meant, where it is understood, some ways to say it."""
    rules = language.talk.rules
    if SAID not in rules:
        return ""
    places = {at: _said_at(rules, at) for at in AT}
    rows: dict[tuple[str, str], list[str]] = {}
    for rule, meant in examples_of_talk(language).items():
        where = _where([at for at, names in places.items() if rule in names])
        for example, meanings in meant.items():
            told = " or ".join(_told(language, meaning) for meaning in meanings)
            rows.setdefault((told, where), []).append(example)
    lines = [headings, ("---",) * 3, *((*row, ", ".join(ways)) for row, ways in rows.items())]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines) + "\n"


def examples_of_talk(language: Language) -> dict[str, dict[str, tuple[Meaning, ...]]]:
    """By rule, what the rules of talk give as examples, each with all that it may mean there."""
    apart = {
        rule: body
        for rule, body in language.talk.rules.items()
        if rule.startswith("talk.") and rule not in language.networks.starts
    }
    starts = Networks.build({**_filled(AT), **apart}, language.networks).starts
    return {
        rule: {
            example: tuple(filter(None, map(fold, Walker(starts[rule]).walk(example.split()).tags)))
            for example in examples
        }
        for rule, examples in language.talk.examples.items()
    }


def _filled(at: Collection[str]) -> Mapping[str, jsgf.Expression]:
    """What talk is filled in with where one of ``at`` is awaited, with names to talk about."""
    names = [(name, name.split()) for name in NAMES]
    states, causes = [(STATE, STATE.split())], [(CAUSE, [CAUSE])]
    named = {"name": names, "state": states, "cause": causes, "step": names}
    return fill_talk(at, named, SUITS)


def _where(places: Collection[str]) -> str:
    return "anywhere" if set(places) == set(AT) else ", ".join(places)


def _said_at(rules: Mapping[str, jsgf.Expression], at: str) -> list[str]:
    """The rules of whole phrases that apply where ``at`` is awaited, in the order of the files."""
    kept = pruned({**rules, **_filled([at])}, SAID)
    return [name for name in rules if name in kept and name.endswith("-said")]


def _told(language: Language, meaning: Meaning) -> str:
    return language.say(meaning) if isinstance(meaning, Reading) else _called(meaning)


def _called(meaning: Meaning) -> str:
    """What the program calls it, and what it is about."""
    about = getattr(meaning, "about", "")
    return f"{_name(meaning)}, {about}" if about else _name(meaning)


def _examples(language: Language) -> Iterable[tuple[str, str, str]]:
    for written in EXAMPLES:
        quantity = Quantity.parse(written)
        reading = Reading(Decimal(f"{quantity.value:f}"), quantity.unit)
        first, singly = language.say(reading), language.say(reading, singly=True)
        yield written, first, singly if singly != first else ""


def _name(meaning: Meaning) -> str:
    """What the program calls it; a meaning without a name by its kind."""
    return getattr(meaning, "name", "") or meaning.kind.replace("_", "-")
