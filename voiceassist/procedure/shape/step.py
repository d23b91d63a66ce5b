"""The shape of a step, key by key."""

from typing import Annotated, Literal

from pydantic import (
    BaseModel,
    ConfigDict,
    Discriminator,
    Field,
    Tag,
    WithJsonSchema,
)

from voiceassist.circuit.shape import FOR_EACH_IS, Name, Text

#: A number or letters; a plain number is taken as it is written.
_Pin = Annotated[Text, WithJsonSchema({"type": ["string", "integer"]})]
#: Condition to state.
Needs = dict[Text, Text]

#: Tags of what a key may hold in several shapes; no key of a file looks like them.
TEXT, LIST = "<text>", "<list>"
ANSWER, SWEEP, TABLE, STATE = "<answer>", "<sweep>", "<table>", "<state>"
POINT, EACH = "<point>", "<each>"


def is_tag(part: int | str) -> bool:
    """True for a part of a pydantic location that tells only which shape was tried."""
    return part in {TEXT, LIST, ANSWER, SWEEP, TABLE, STATE, POINT, EACH}


# Which shape a value has is told from its form, so that only that one is checked and blamed.


def _names_form(value: object) -> str | None:
    return LIST if isinstance(value, list) else TEXT if isinstance(value, str) else None


def _answer_form(value: object) -> str | None:
    return ANSWER if isinstance(value, dict) else TEXT if isinstance(value, str) else None


def _limit_form(value: object) -> str | None:
    if isinstance(value, dict):
        return TABLE if {"by", "table"} & set(value) else SWEEP
    return _names_form(value)


def _each_form(value: object) -> str | None:
    return EACH if isinstance(value, dict) else TEXT if isinstance(value, str) else None


def _point_form(value: object) -> str | None:
    return POINT if isinstance(value, dict) else TEXT if isinstance(value, str) else None


class KeyBlock(BaseModel):
    """A block of keys; any other key in it is a fault."""

    model_config = ConfigDict(extra="forbid", populate_by_name=True, frozen=True)


class PointShape(KeyBlock):
    """A test point with what is known of its pin and wire."""

    where: Text = Field(description="where it is: pin one, thick brown wire")
    connector: Text | None = Field(None, description="the connector its pin is in: module plug")
    pin: _Pin | None = Field(None, description="the number or letter of its pin: 1, A4")
    wire: Text | None = Field(
        None,
        description="colour of its wire in the letters of IEC 60757: BN, GNYE; default: that of "
        "the wire of the circuit which ends there",
    )
    size: Text | None = Field(None, description="cross-section of its wire: 2.5 mm²")


class AnswerShape(KeyBlock):
    """An answer that can be said in several ways."""

    say: list[Text] = Field(min_length=1, description="ways to say it, in plain lower-case words")
    go: Name = Field(description="the step or finding it leads to")


class SweepShape(KeyBlock):
    """What a row of readings must do."""

    direction: Literal["falling", "rising"] = Field(description="the way the readings must go")
    start: Text | None = Field(None, description="limit of the first reading: 8.0 V to 9.0 V")
    end: Text | None = Field(None, description="limit of the last reading: 2.0 V to 3.0 V")
    least: int | None = Field(None, description="how many readings it takes at least; default 3")
    largest_step: Text | None = Field(
        None, alias="largest-step", description="the most from one reading to the next: 3 V"
    )
    smallest_step: Text | None = Field(
        None, alias="smallest-step", description="the least from one reading to the next: 0.2 V"
    )


class TableShape(KeyBlock):
    """Limits that go by a condition, an answer or an earlier value."""

    by: Text = Field(description="a condition, a question, an earlier reading or a fact")
    table: dict[Text, Text] = Field(
        min_length=1,
        description="state, answer or range of values (0 °C to 25 °C): the limit then",
    )


_OneOrMore = Annotated[
    Annotated[Name, Tag(TEXT)] | Annotated[list[Name], Tag(LIST)],
    Discriminator(
        _names_form, custom_error_type="one_or_more", custom_error_message="a name or a list"
    ),
]
_TextOrMore = Annotated[
    Annotated[Text, Tag(TEXT)] | Annotated[list[Text], Field(min_length=1), Tag(LIST)],
    Discriminator(_names_form, custom_error_type="text_or_list", custom_error_message="text"),
]
_Torque = Annotated[
    Annotated[Text, Tag(TEXT)] | Annotated[dict[Text, Text], Field(min_length=1), Tag(EACH)],
    Discriminator(_each_form, custom_error_type="each", custom_error_message="text or a block"),
]
PointForm = Annotated[
    Annotated[Text, Tag(TEXT)] | Annotated[PointShape, Tag(POINT)],
    Discriminator(_point_form, custom_error_type="point", custom_error_message="text or a block"),
]
_Accept = Annotated[
    Annotated[Text, Tag(TEXT)]
    | Annotated[list[Text], Tag(LIST)]
    | Annotated[SweepShape, Tag(SWEEP)]
    | Annotated[TableShape, Tag(TABLE)],
    Discriminator(_limit_form),
]
_Answer = Annotated[
    Annotated[Name, Tag(TEXT)] | Annotated[AnswerShape, Tag(ANSWER)],
    Discriminator(
        _answer_form, custom_error_type="answer", custom_error_message="a name or a block"
    ),
]


class ForEachBlock(KeyBlock):
    """A part that can stand for each of several like things; it is read written out."""

    for_each: Name | None = Field(None, alias="for-each", description=FOR_EACH_IS)


class StepShape(ForEachBlock):
    """One thing to do, ask or measure: exactly one of the first ten keys."""

    measure: Text | None = Field(None, description="what to measure: voltage from feed to earth")
    sweep: Text | None = Field(
        None, description="readings taken one after another while something is turned"
    )
    count: Text | None = Field(None, description="what to count: flashes of the lamp")
    lamp: Text | None = Field(None, description="where to hold the test lamp")
    ask: Text | None = Field(None, description="a question")
    identify: Literal["vin", "repair-order", "odometer"] | None = Field(
        None, description="a number of the job, to be spoken and read back"
    )
    compute: Text | None = Field(
        None, description="a formula over earlier readings and facts: battery - at-motor"
    )
    wait: Text | None = Field(None, description="what to wait for: the modules to fall asleep")
    do: Text | None = Field(None, description="an action")
    use: Name | None = Field(
        None, description="name of a procedure file whose steps are put in here; with 'go'"
    )
    needs: Needs = Field(
        default_factory=dict, description="condition: state, in the order they are brought about"
    )
    caution: _OneOrMore | None = Field(
        None, description="name or names of cautions spoken first: your own or built-in ones"
    )
    how: Text | None = Field(None, description="how to go about it")
    before: Text | None = Field(
        None,
        description="what is done before the change in 'needs', spoken ahead of it: wait until "
        "the vehicle sleeps",
    )
    why: Text | None = Field(None, description="why this test; spoken when asked")
    effort: Text | None = Field(
        None, description="how long it takes who knows the vehicle, its changes included: 2 min"
    )
    opens: _TextOrMore | None = Field(
        None, description="what must be opened or taken off to get there: door trim"
    )
    tools: list[Text] = Field(
        default_factory=list,
        min_length=1,
        description="what this step takes beside the meter: trim wedge",
    )
    parts: _TextOrMore | None = Field(
        None, description="what is fitted or used up in it: fuse 15 A, new seal"
    )
    torque: _Torque | None = Field(
        None,
        description="how tight: 9 N·m, or 8 N·m to 10 N·m; for several fasteners a block of "
        "each with its torque",
    )
    only_if: dict[Text, _TextOrMore] = Field(
        default_factory=dict,
        min_length=1,
        alias="only-if",
        description="a question or a fact of words: the answer, or answers, with which this step "
        "is for this vehicle; with any other it is left out: {seats: heated}",
    )
    picture: Text | None = Field(
        None, description="file beside this one, to show with the step: wire.png, .jpg or .svg"
    )
    accept: _Accept | None = Field(
        None,
        description="limit (5 V to 6 V, at most 0.1 V), table of limits, lamp states that pass, "
        "or what a sweep must do",
    )
    unit: Text | None = Field(None, description="unit of a reading that has no limit")
    source: Text | None = Field(
        None,
        description="where this limit comes from: general rule of thumb, standard NAME, or "
        "maker's data DOCUMENT; default: that of the procedure",
    )
    plausible: Text | None = Field(None, description="range of readings that can occur at all")
    steady: Text | None = Field(None, description="the most a reading may wander: 0.2 V")
    source_resistance: Text | None = Field(
        None,
        alias="source-resistance",
        description="of the circuit behind the test point, so that the meter's own load counts",
    )
    if_forgotten: Needs = Field(
        default_factory=dict,
        alias="if-forgotten",
        description="condition: readings that tell it was not brought about (at most 0.5 V)",
    )
    if_close: Text | None = Field(
        None,
        alias="if-close",
        description="what to do when the meter cannot tell the reading from its limit",
    )
    fuse: Text | None = Field(
        None, description="rating of the fuse the step is about, 10 A; its colour is told"
    )
    answers: dict[Text, _Answer] | None = Field(
        None, description="answer: the step or finding it leads to, or {say: [...], go: ...}"
    )
    wait_for: Text | None = Field(
        None, alias="for", description="how long to wait: 30 s, 20 min, 1 h"
    )
    prompt_after: Text | None = Field(
        None,
        alias="prompt-after",
        description="silence after which it is said once what is awaited: 45 s, 2 min, or never",
    )
    go: dict[Name, Name] | None = Field(
        None, description="for 'use': a finding of that file: the step or finding here instead"
    )
    then: Name | None = Field(None, description="where to go after a pass; default: the next step")
    low: Name | None = Field(None, description="where to go when the reading is too low")
    high: Name | None = Field(None, description="where to go when the reading is too high")
    bands: dict[Text, Name] = Field(
        default_factory=dict,
        description="limits of readings that fail, and where each leads: at most 1 V: no-feed; "
        "any other goes where 'low', 'high' or 'fail' tells",
    )
    over: Name | None = Field(None, description="where to go when the meter shows over range")
    fail: Name | None = Field(None, description="where to go after any reading that fails")
    dim: Name | None = Field(None, description="where to go when the lamp is dim")
    off: Name | None = Field(None, description="where to go when the lamp is off")
    bright: Name | None = Field(None, description="where to go when the lamp is bright")
    flickering: Name | None = Field(
        None, description="where to go when the lamp flickers; default: as when it is dim"
    )
    not_sure: Name | None = Field(
        None,
        alias="not-sure",
        description="where to go when one cannot tell; default: it is asked to look again",
    )
    comes_and_goes: Name | None = Field(
        None,
        alias="comes-and-goes",
        description="where to go when it is so at times only; default: it is asked to look again",
    )
    skip: Name | None = Field(
        None, description="where to go when it is skipped, or never; default: as after a pass"
    )
    sets: Needs = Field(default_factory=dict, description="states that hold once it is done")
    says: dict[Text, Text] = Field(
        default_factory=dict,
        description="outcome (pass, low, high, over, fail, a lamp state or an answer): the words "
        "of its verdict, such as 'no change, so it is not this fuse'",
    )
    meter: Text | None = Field(
        None,
        description="the range to read on, 10 A; of a current through the meter, the socket of "
        "its red lead too, which is asked back before a voltage or resistance is read",
    )
    voided_by: list[Text] = Field(
        default_factory=list,
        alias="voided-by",
        description="for 'wait': conditions whose change makes the wait void",
    )
