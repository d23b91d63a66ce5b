"""The archive's pages: what can be asked for, by the names of the options of ``records``."""

import shlex
from collections.abc import Mapping
from dataclasses import dataclass

from voiceassist.bench.asked import Told
from voiceassist.bench.views import rendered
from voiceassist.record.outcomes import OUTCOMES

#: Nobody asks for more in one word.
_LONGEST = 200
_VERDICTS = ("pass", "low", "high", "too-close", "not-valid")
_ANY = ("", "any")


@dataclass(frozen=True, slots=True)
class Input:
    """What can be asked for.

    Parts:
        name: of the option, and of the field of the form.
        label: in words.
        kind: of input, as HTML has it; empty for text.
        hint: how it is written.
        choices: values with their words; empty for a text.
    """

    name: str
    label: str
    kind: str = ""
    hint: str = ""
    choices: tuple[tuple[str, str], ...] = ()


_OUTCOME = Input(
    "outcome",
    "Outcome",
    choices=(_ANY, *((name, words) for name, words in OUTCOMES.items()), ("open", "not ended")),
)
_VERDICT = Input("verdict", "Verdict of some reading", choices=(_ANY, *((v, v) for v in _VERDICTS)))
_VEHICLE = Input("vehicle", "Vehicle")
_TECHNICIAN = Input("technician", "Technician")
_PROCEDURE = Input("procedure", "Procedure")
_SINCE, _UNTIL = Input("since", "From", "date"), Input("until", "To", "date")
_HOW_MANY = Input("limit", "How many; 0: all", "number")
_SAID = Input("said", "Said", hint='all words, "in a row", begin*')

#: Each verb with what can be asked of it.
FIELDS: Mapping[str, tuple[Input, ...]] = {
    "list": (_HOW_MANY,),
    "find": (
        Input("order", "Repair order"), _VEHICLE, _TECHNICIAN, _PROCEDURE, _OUTCOME, _VERDICT,
        Input("cause", "Cause"), _SAID, _SINCE, _UNTIL, _HOW_MANY,
    ),
    "show": (Input("session", "Session", hint="name, beginning of it, repair order, last"),),
    "trend": (Input("point", "Test point or step"), _PROCEDURE, _VEHICLE),
    "totals": (_TECHNICIAN, _PROCEDURE, _VEHICLE, _SINCE, _UNTIL),
}  # fmt: skip
#: Without which there is nothing to be answered yet.
_NEEDED = {"find": tuple(field.name for field in FIELDS["find"][:-1]), "trend": ("point",)}


def asked_of(what: str, query: Mapping[str, str]) -> dict[str, str]:
    """What a query asks of a verb; what it does not know is left out."""
    names = [field.name for field in FIELDS[what]]
    return {name: query[name][:_LONGEST] for name in names if query.get(name, "").strip()}


def is_asked(what: str, asked: Mapping[str, str]) -> bool:
    """There is something to be answered."""
    return any(asked.get(name) for name in _NEEDED[what]) if what in _NEEDED else True


def command(what: str, asked: Mapping[str, str]) -> str:
    """The command that answers the same."""
    named = [name for name in ("session", "point") if name in asked]
    words = ["voiceassist", "records", what, *(asked[name] for name in named)]
    for name, value in asked.items():
        words += [] if name in named else [f"--{name}", value]
    return shlex.join(words)


def page(what: str, asked: Mapping[str, str], told: Told, wrong: str = "") -> str:
    """The page of a verb."""
    return rendered(
        "records.html",
        heading=what.capitalize(),
        what=what,
        fields=FIELDS[what],
        asked=dict(asked),
        told=told,
        wrong=wrong,
        answered=is_asked(what, asked) and not wrong,
        command=command(what, asked),
        session=told.session,
    )
