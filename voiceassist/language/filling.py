"""The <expected.*> rules: what each step fills into the grammar of its language."""

import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from itertools import pairwise

from voiceassist.language.expectation import AT, Expectation
from voiceassist.language.jsgf import Alternatives, Expression, Ref, Tag, Word
from voiceassist.language.jsgf import Sequence as InARow
from voiceassist.language.linking import EXPECTED, NULL, VOID
from voiceassist.language.shaping import words_of

#: Identifiers that a step can ask for.
IDENTIFIERS = ("vin", "repair-order", "odometer")
#: What suits what was asked, or warned of: the rule whose words tell so, and the one whose words
#: tell that it does not. A language may lack them.
SUITS = {
    "good": ("talk.good-question", "talk.bad-question"),
    "pins": ("talk.pins-question", "talk.bad-question"),
    "tight": ("talk.tight-question", ""),
    "turns": ("talk-answers.turn-question", ""),
    "holds": ("talk-answers.hold-question", ""),
    "hybrid": ("talk.hybrid-question", "talk.module-question"),
    "only": ("talk.only-question", ""),
    "worn": ("talk.worn-caution", ""),
    "parked": ("talk.parked-caution", ""),
}
#: A name and the words of one way to say it.
Said = tuple[str, Sequence[str]]
#: What talk can name: readings and test points, states of the vehicle, findings, and steps.
NAMED = ("name", "state", "cause", "step")
#: Of each of them every name, and each way to say it.
Named = Mapping[str, Sequence[Said]]


def fill(
    expectation: Expectation, phrases: Iterable[Said], known: Collection[str]
) -> Mapping[str, Expression]:
    """The rules of one step, by full name; see ``linking.FILLED``.

    ``phrases`` are the step's own answers: name and words. ``known`` are the language's rules:
    it may leave out the units that a recogniser need not search.

    Raises:
        ValueError: the expectation asks for an identifier that is none of ``IDENTIFIERS``.
    """
    if expectation.identifier not in ("", *IDENTIFIERS):
        raise ValueError(f"{expectation.identifier!r} is not an identifier a step can ask for")
    at = awaited(expectation)
    applies = {
        **{name: name == expectation.identifier for name in IDENTIFIERS},
        **{f"at-{name}": name in at for name in AT},
        "asked": "ask" in at,
        "not-asked": "ask" not in at,
        "measuring": bool(expectation.quantities),
        "flowing": bool(expectation.quantities) and "resistance" not in expectation.quantities,
        "lamp": expectation.lamp,
        "hundreds": _can_reach(100, expectation),
        "thousands": _can_reach(1000, expectation),
    }
    units = [f"units.heard-{quantity}" for quantity in expectation.quantities]
    filled = {
        **{name: Ref(NULL if yes else VOID) for name, yes in applies.items()},
        "unit": _one_of([Ref(name) for name in units if name in known]),
        "choice": _named("answer", phrases),
    }
    return {f"{EXPECTED}.{name}": body for name, body in filled.items()}


def fill_talk(
    at: Collection[str], named: Named, suiting: Collection[str]
) -> Mapping[str, Expression]:
    """What loose talk is filled in with; see ``linking.FILLED``.

    Args:
        at: what is awaited.
        named: what can be called by a name, by what it is: one of ``NAMED``.
        suiting: what of ``SUITS`` suits what was asked.
    """
    applies = {**{f"at-{name}": name in at for name in AT}, **{s: s in suiting for s in SUITS}}
    filled = {
        **{name: Ref(NULL if yes else VOID) for name, yes in applies.items()},
        **{what: _named("about", named.get(what, ())) for what in NAMED},
    }
    return {f"{EXPECTED}.{name}": body for name, body in filled.items()}


def awaited(expectation: Expectation) -> frozenset[str]:
    """What of ``AT`` is awaited; where it does not tell, a reading if that alone fits.

    A change may be awaited with it, the value that is to be put right may be kept, or it was asked
    whether something was meant.
    """
    at = expectation.at or _only_reading(expectation)
    beside = {"made": "done", "kept": "go-back"}
    if expectation.quantities:  # a yes or no is awaited beside a value: to what was offered
        beside["meant"] = "negative"
    also = (name for name, word in beside.items() if word in expectation.awaited)
    return frozenset([*([at] if at else []), *also])


def _only_reading(expectation: Expectation) -> str:
    if expectation.lamp == bool(expectation.quantities):
        return ""
    if expectation.lamp:
        return "lamp"
    return "ohms" if "resistance" in expectation.quantities else "live"


def suiting(expectation: Expectation, known: Mapping[str, Expression]) -> frozenset[str]:
    """What of ``SUITS`` suits what is asked, or warned of: "it is fine" where good is asked for."""

    def words(rule: str) -> frozenset[str]:
        return words_of({rule: known[rule]}) if rule in known else frozenset[str]()

    in_a_row = re.findall(r"[^\W\d_]+", expectation.question.lower())
    denial, bad = words("talk.denied-question"), words("talk.bad-question")
    denied = [pair for pair in pairwise(in_a_row) if pair[0] in denial and pair[1] in bad]
    asked = set(in_a_row).difference(*denied)

    def tells(rule: str) -> bool:
        return bool(words(rule) & asked)

    found = frozenset(what for what, (by, but) in SUITS.items() if tells(by) and not tells(but))
    # a wheel that is tight is bad, and a pin that is tight is good
    return found - {"good"} if "pins" in found else found


def _can_reach(figure: int, expectation: Expectation) -> bool:
    """Whether so large a figure is plausible in the step's own unit."""
    highest, unit = expectation.highest, expectation.unit
    if highest is None or unit is None or highest.unit.quantity != unit.quantity:
        return True
    return highest.to(unit).value >= figure


def _named(tag: str, phrases: Iterable[Said]) -> Expression:
    """Each of ``phrases`` with ``tag`` and its name."""
    return _one_of(
        [InARow((*map(Word, words), Tag(f"{tag} {name}"))) for name, words in phrases if words]
    )


def _one_of(options: list[Expression]) -> Expression:
    return Alternatives(tuple(options), (1.0,) * len(options)) if options else Ref(VOID)
