"""What a trainee can want of the simulated vehicle, and the ways to say it.

The ways are patterns such as "voltage from {red} to {black}", and come from the language's file
``rehearse.toml``; the gaps are filled with the names of the procedure's own test points, states
and parts. So everything that can be said is known before it is listened for.
"""

import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import permutations
from types import MappingProxyType

from voiceassist.errors import LanguageError
from voiceassist.language.expectation import Choice
from voiceassist.procedure.model import Kind, Procedure

_MARK, _BETWEEN = "wish ", "|"
_STOPS = re.compile(r"[,;:.!?()](?=\s|$)")


class Verb(StrEnum):
    """The kinds of wish; the word is also the name of its ways in ``rehearse.toml``.

    Questions to the instructor are asked in the words that every session has for them.
    """

    READ = "read"
    VOLTS = "volts"
    OHMS = "ohms"
    AMPS = "amps"
    LAMP = "lamp"
    BRING = "bring"
    LOOK = "look"
    ASK = "ask"
    CHANGE = "change"
    MEND = "mend"
    WAIT = "wait"
    WIGGLE = "wiggle"
    WARM = "warm"
    DIAL = "dial"
    TO_CURRENT = "to-current"
    TO_VOLTS = "to-volts"
    SURE = "sure"
    HINT = "hint"
    AGAINST = "against"


#: Wishes that are questions to the instructor, not to the vehicle.
HINTS = frozenset({Verb.SURE, Verb.HINT, Verb.AGAINST})


@dataclass(frozen=True, slots=True)
class Wish:
    """One thing that is wanted.

    Parts:
        verb: what.
        one, other: what it is about: two points, a condition and its state, or a single name.
    """

    verb: Verb
    one: str = ""
    other: str = ""

    @property
    def name(self) -> str:
        """What the language calls it: a word of ours, not of the user's."""
        return _MARK + _BETWEEN.join((self.verb, self.one, self.other))

    @classmethod
    def named(cls, name: str) -> "Wish | None":
        """The wish called so; None when ``name`` is no wish's."""
        if not name.startswith(_MARK):
            return None
        verb, one, other = name.removeprefix(_MARK).split(_BETWEEN)
        return cls(Verb(verb), one, other)


@dataclass(frozen=True, slots=True)
class WishPhrases:
    """The ways to say a wish.

    Parts:
        said: patterns of each kind.
        moves: words that something done to a vehicle begins with, known there or not.
    """

    said: Mapping[Verb, tuple[str, ...]]
    moves: tuple[str, ...] = ()


def read_ways(text: str, place: str) -> WishPhrases:
    """The ways to say each kind of wish, from the text of ``rehearse.toml``.

    Raises:
        LanguageError: it is no TOML, a kind is missing, or one that nobody knows is there.
    """
    try:
        whole = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise LanguageError(str(error), place=place, remedy="write it as TOML") from None
    found = whole.get("ways", {})
    kinds = {verb.value for verb in Verb if verb not in HINTS}
    if set(found) != kinds:
        odd = ", ".join(sorted(set(found) ^ kinds))
        raise LanguageError(
            f"its [ways] and the kinds of wish differ in: {odd}",
            place=place,
            remedy="give " + ", ".join(sorted(kinds)),
        )
    said = {Verb(kind): tuple(patterns) for kind, patterns in found.items()}
    return WishPhrases(said, tuple(whole.get("moves", ())))


def choices(
    procedure: Procedure, ways: WishPhrases, ranges: Mapping[str, str] = MappingProxyType({})
) -> tuple[Choice, ...]:
    """Every wish that this procedure's vehicle can be asked for, with the ways to say it.

    Args:
        procedure: that is practised.
        ways: of saying a wish.
        ranges: what the meter can be set to, and how each is said; none where he is led.
    """
    return tuple(
        Choice(wish.name, tuple(dict.fromkeys(_said(p, gaps) for p in ways.said[wish.verb])))
        for wish, gaps in (*_wishes(procedure), *_settings(ranges))
    )


def _settings(ranges: Mapping[str, str]) -> Iterator[tuple[Wish, "Gaps"]]:
    """The dial and the sockets: "sixty volts", and "volts sixty" as it stands on the dial."""
    for name, said in ranges.items():
        *figure, unit = said.split()
        yield Wish(Verb.DIAL, name), {"range": said, "turned": " ".join((unit, *figure))}
    if ranges:
        yield Wish(Verb.TO_CURRENT), {}
        yield Wish(Verb.TO_VOLTS), {}


def _said(pattern: str, gaps: "Gaps") -> str:
    """A way of saying it without the stops of what is written, which nobody says."""
    return " ".join(_STOPS.sub(" ", pattern.format_map(gaps).lower()).split())


Gaps = Mapping[str, str]


def _wishes(procedure: Procedure) -> Iterator[tuple[Wish, Gaps]]:
    yield Wish(Verb.READ), {}
    yield Wish(Verb.LOOK), {}
    yield Wish(Verb.MEND), {}
    yield from ((Wish(verb), {}) for verb in (Verb.WAIT, Verb.WIGGLE, Verb.WARM))
    yield from _changes(procedure)
    for red, black in permutations(points(procedure), 2):
        for verb in (Verb.VOLTS, Verb.OHMS, Verb.LAMP):
            yield Wish(verb, red, black), {"red": red, "black": black}
    for place in carriers(procedure):
        yield Wish(Verb.AMPS, place), {"place": place}
    asked = {step.question: name for name, step in procedure.steps.items() if step.kind is Kind.ASK}
    for question, name in asked.items():
        yield Wish(Verb.ASK, name), {"question": question}
    for part in parts(procedure):
        yield Wish(Verb.CHANGE, part), {"part": part}


def _changes(procedure: Procedure) -> Iterator[tuple[Wish, Gaps]]:
    for condition, states in procedure.conditions.items():
        for state, instruction in states.items():
            gaps = {"do": instruction, "condition": condition, "state": state}
            yield Wish(Verb.BRING, condition, state), gaps


def points(procedure: Procedure) -> Sequence[str]:
    """The places that a lead can be held to: those that the procedure's own steps are read at."""
    circuit = procedure.circuit
    if circuit is None:
        return ()
    leads = (node for probe in circuit.probes.values() for node in (probe.red, probe.black))
    return tuple(dict.fromkeys(node for node in leads if node))


def parts(procedure: Procedure) -> Sequence[str]:
    """The parts that can be changed: those that a finding can condemn."""
    found = (f.condemns for f in procedure.findings.values())
    return tuple(dict.fromkeys(part for part in found if part))


def carriers(procedure: Procedure) -> Sequence[str]:
    """What a current can be read in."""
    circuit = procedure.circuit
    probes = circuit.probes.values() if circuit is not None else ()
    return tuple(dict.fromkeys(probe.through for probe in probes if probe.through))
