"""The <expected.*> rules: what each step fills into the grammar of its language."""

from collections.abc import Collection, Iterable, Mapping

from voiceassist.language.expectation import Expectation
from voiceassist.language.jsgf import Alternatives, Expression, Ref, Sequence, Tag, Word
from voiceassist.language.linking import EXPECTED, NULL, VOID

#: Identifiers that a step can ask for.
IDENTIFIERS = ("vin", "repair-order", "odometer")


def fill(
    expectation: Expectation,
    phrases: Iterable[tuple[str, list[str]]],
    known: Collection[str],
) -> Mapping[str, Expression]:
    """The rules of one step, by full name; see ``linking.FILLED``.

    ``phrases`` are the step's own answers: name and words. ``known`` are the language's rules:
    it may leave out the units that a recogniser need not search.

    Raises:
        ValueError: the expectation asks for an identifier that is none of ``IDENTIFIERS``.
    """
    if expectation.identifier not in ("", *IDENTIFIERS):
        raise ValueError(f"{expectation.identifier!r} is not an identifier a step can ask for")
    applies = {
        **{name: name == expectation.identifier for name in IDENTIFIERS},
        "measuring": bool(expectation.quantities),
        "lamp": expectation.lamp,
        "hundreds": _can_reach(100, expectation),
        "thousands": _can_reach(1000, expectation),
    }
    units = [f"units.heard-{quantity}" for quantity in expectation.quantities]
    filled = {
        **{name: Ref(NULL if yes else VOID) for name, yes in applies.items()},
        "unit": _one_of([Ref(name) for name in units if name in known]),
        "choice": _one_of(
            [
                Sequence((*map(Word, words), Tag(f"answer {name}")))
                for name, words in phrases
                if words
            ]
        ),
    }
    return {f"{EXPECTED}.{name}": body for name, body in filled.items()}


def _can_reach(figure: int, expectation: Expectation) -> bool:
    """Whether so large a figure is plausible in the step's own unit."""
    highest, unit = expectation.highest, expectation.unit
    if highest is None or unit is None or highest.unit.quantity != unit.quantity:
        return True
    return highest.to(unit).value >= figure


def _one_of(options: list[Expression]) -> Expression:
    return Alternatives(tuple(options), (1.0,) * len(options)) if options else Ref(VOID)
