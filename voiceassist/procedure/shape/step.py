"""The shape of a step, key by key."""

from typing import Annotated, Literal

from pydantic import Discriminator, Field, Tag, WithJsonSchema

from voiceassist.circuit.shape import (
    BLOCK,
    LIST,
    TABLE,
    TEXT,
    ForEachBlock,
    KeyBlock,
    Name,
    Text,
    by_form,
    optional,
)

#: A number or letters; a plain number is taken as it is written.
_Pin = Annotated[Text, WithJsonSchema({"type": ["string", "integer"]})]
#: Condition to state.
Needs = dict[Text, Text]

#: Tags that tell the shape of a block, beside those of every file.
ANSWER, SWEEP, STATE, POINT = "<answer>", "<sweep>", "<state>", "<point>"


def is_tag(part: int | str) -> bool:
    """True for a part of a pydantic location that tells only which shape was tried."""
    return part in {TEXT, LIST, BLOCK, ANSWER, SWEEP, TABLE, STATE, POINT}


def _limit_form(value: object) -> str | None:
    if isinstance(value, dict):
        return TABLE if {"by", "table"} & set(value) else SWEEP
    return LIST if isinstance(value, list) else TEXT if isinstance(value, str) else None


class PointShape(KeyBlock):
    """A test point with what is known of its pin and wire."""

    where: Text = Field(description="where it is: pin one, thick brown wire")
    connector: Text | None = optional("the connector its pin is in: module plug")
    pin: _Pin | None = optional("the number or letter of its pin: 1, A4")
    wire: Text | None = optional(
        "colour of its wire in the letters of IEC 60757: BN, GNYE; default: that of the wire "
        "of the circuit which ends there"
    )
    size: Text | None = optional("cross-section of its wire: 2.5 mm²")


class AnswerShape(KeyBlock):
    """An answer that can be said in several ways."""

    say: list[Text] = Field(min_length=1, description="ways to say it, in plain lower-case words")
    go: Name = Field(description="the step or finding it leads to")


class SweepShape(KeyBlock):
    """What a row of readings must do."""

    direction: Literal["falling", "rising"] = Field(description="the way the readings must go")
    start: Text | None = optional("limit of the first reading: 8.0 V to 9.0 V")
    end: Text | None = optional("limit of the last reading: 2.0 V to 3.0 V")
    least: int | None = optional("how many readings it takes at least; default 3")
    largest_step: Text | None = optional("the most from one reading to the next: 3 V")
    smallest_step: Text | None = optional("the least from one reading to the next: 0.2 V")


class TableShape(KeyBlock):
    """Limits that go by a condition, an answer or an earlier value."""

    by: Text = Field(description="a condition, a question, an earlier reading or a fact")
    table: dict[Text, Text] = Field(
        min_length=1, description="state, answer or range of values (0 °C to 25 °C): the limit then"
    )


_OneOrMore = Annotated[
    Annotated[Name, Tag(TEXT)] | Annotated[list[Name], Tag(LIST)], by_form("one_or_more")
]
_TextOrMore = Annotated[
    Annotated[Text, Tag(TEXT)] | Annotated[list[Text], Field(min_length=1), Tag(LIST)],
    by_form("text_or_list"),
]
_Torque = Annotated[
    Annotated[Text, Tag(TEXT)] | Annotated[dict[Text, Text], Field(min_length=1), Tag(BLOCK)],
    by_form("each"),
]
PointForm = Annotated[
    Annotated[Text, Tag(TEXT)] | Annotated[PointShape, Tag(POINT)], by_form("point", POINT)
]
_Accept = Annotated[
    Annotated[Text, Tag(TEXT)]
    | Annotated[list[Text], Tag(LIST)]
    | Annotated[SweepShape, Tag(SWEEP)]
    | Annotated[TableShape, Tag(TABLE)],
    Discriminator(_limit_form),
]
_Answer = Annotated[
    Annotated[Name, Tag(TEXT)] | Annotated[AnswerShape, Tag(ANSWER)], by_form("answer", ANSWER)
]


class StepShape(ForEachBlock):
    """One thing to do, ask or measure: exactly one of the first ten keys."""

    measure: Text | None = optional("what to measure: voltage from feed to earth")
    sweep: Text | None = optional("readings taken one after another while something is turned")
    count: Text | None = optional("what to count: flashes of the lamp")
    lamp: Text | None = optional("where to hold the test lamp")
    ask: Text | None = optional("a question")
    identify: Literal["vin", "repair-order", "odometer"] | None = optional(
        "a number of the job, to be spoken and read back"
    )
    compute: Text | None = optional("a formula over earlier readings and facts: battery - at-motor")
    wait: Text | None = optional("what to wait for: the modules to fall asleep")
    do: Text | None = optional("an action")
    use: Name | None = optional("name of a procedure file whose steps are put in here; with 'go'")
    needs: Needs = optional("condition: state, in the order they are brought about", dict)
    caution: _OneOrMore | None = optional(
        "name or names of cautions spoken first: your own or built-in ones"
    )
    how: Text | None = optional("how to go about it")
    before: Text | None = optional(
        "what is done before the change in 'needs', spoken ahead of it: wait until the vehicle "
        "sleeps"
    )
    why: Text | None = optional("why this test; spoken when asked")
    effort: Text | None = optional(
        "how long it takes who knows the vehicle, its changes included: 2 min"
    )
    opens: _TextOrMore | None = optional("what must be opened or taken off to get there: door trim")
    tools: list[Text] = optional(
        "what this step takes beside the meter: trim wedge", list, min_length=1
    )
    parts: _TextOrMore | None = optional("what is fitted or used up in it: fuse 15 A, new seal")
    torque: _Torque | None = optional(
        "how tight: 9 N·m, or 8 N·m to 10 N·m; for several fasteners a block of each with its "
        "torque"
    )
    only_if: dict[Text, _TextOrMore] = optional(
        "a question or a fact of words: the answer, or answers, with which this step is for "
        "this vehicle; with any other it is left out: {seats: heated}",
        dict,
        min_length=1,
    )
    picture: Text | None = optional(
        "file beside this one, to show with the step: wire.png, .jpg or .svg"
    )
    accept: _Accept | None = optional(
        "limit (5 V to 6 V, at most 0.1 V), table of limits, lamp states that pass, or what a "
        "sweep must do"
    )
    unit: Text | None = optional("unit of a reading that has no limit")
    source: Text | None = optional(
        "where this limit comes from: general rule of thumb, standard NAME, or maker's data "
        "DOCUMENT; default: that of the procedure"
    )
    plausible: Text | None = optional("range of readings that can occur at all")
    steady: Text | None = optional("the most a reading may wander: 0.2 V")
    source_resistance: Text | None = optional(
        "of the circuit behind the test point, so that the meter's own load counts"
    )
    if_forgotten: Needs = optional(
        "condition: readings that tell it was not brought about (at most 0.5 V)", dict
    )
    if_close: Text | None = optional(
        "what to do when the meter cannot tell the reading from its limit"
    )
    fuse: Text | None = optional("rating of the fuse the step is about, 10 A; its colour is told")
    answers: dict[Text, _Answer] | None = optional(
        "answer: the step or finding it leads to, or {say: [...], go: ...}"
    )
    wait_for: Text | None = optional("how long to wait: 30 s, 20 min, 1 h", alias="for")
    prompt_after: Text | None = optional(
        "silence after which it is said once what is awaited: 45 s, 2 min, or never"
    )
    settles: Text | None = optional(
        "how long what is read takes to settle, 2 min: what fails much sooner is asked about"
    )
    go: dict[Name, Name] | None = optional(
        "for 'use': a finding of that file: the step or finding here instead"
    )
    then: Name | None = optional("where to go after a pass; default: the next step")
    low: Name | None = optional("where to go when the reading is too low")
    high: Name | None = optional("where to go when the reading is too high")
    bands: dict[Text, Name] = optional(
        "limits of readings that fail, and where each leads: at most 1 V: no-feed; any other "
        "goes where 'low', 'high' or 'fail' tells",
        dict,
    )
    over: Name | None = optional("where to go when the meter shows over range")
    fail: Name | None = optional("where to go after any reading that fails")
    dim: Name | None = optional("where to go when the lamp is dim")
    off: Name | None = optional("where to go when the lamp is off")
    bright: Name | None = optional("where to go when the lamp is bright")
    flickering: Name | None = optional(
        "where to go when the lamp flickers; default: as when it is dim"
    )
    not_sure: Name | None = optional(
        "where to go when one cannot tell; default: it is asked to look again"
    )
    comes_and_goes: Name | None = optional(
        "where to go when it is so at times only; default: it is asked to look again"
    )
    skip: Name | None = optional(
        "where to go when it is skipped, or never; default: as after a pass"
    )
    sets: Needs = optional("states that hold once it is done", dict)
    says: dict[Text, Text] = optional(
        "outcome (pass, low, high, over, fail, a lamp state or an answer): the words of its "
        "verdict, such as 'no change, so it is not this fuse'",
        dict,
    )
    meter: Text | None = optional(
        "the range to read on, 10 A; of a current through the meter, the socket of its red "
        "lead too, which is asked back before a voltage or resistance is read"
    )
    voided_by: list[Text] = optional(
        "for 'wait': conditions whose change makes the wait void", list
    )
