"""The shape of a procedure file, key by key. The JSON Schema is made from these classes."""

from typing import Annotated, Any, Literal

from pydantic import Field, Tag

from voiceassist.circuit.shape import (
    BLOCK,
    LIST,
    TEXT,
    CircuitShape,
    FaultShape,
    ForEachBlock,
    KeyBlock,
    Name,
    Text,
    by_form,
    optional,
)
from voiceassist.procedure.shape.step import STATE, Needs, PointForm, StepShape


class CautionShape(KeyBlock):
    """A hazard with its signal word."""

    signal: Literal["DANGER", "WARNING", "CAUTION", "NOTICE"] = Field(
        description="DANGER will, WARNING could kill or maim; CAUTION could hurt; NOTICE: damage"
    )
    hazard: Text = Field(description="what can happen")
    avoid: Text = Field(description="how to avoid it")
    only_authorised: bool = Field(
        False, description="true: only trained and authorised people may go on; others stop here"
    )
    short: Text | None = optional(
        "a few words that remind of it once it was said in full: keep clear"
    )
    again_when: dict[Text, Text] = optional(
        "condition and state; it is told in full again when that has come about anew", dict
    )


class StateShape(KeyBlock):
    """A state of the vehicle with its own question and statement."""

    do: Text = Field(description="the words that bring it about: turn the key to run")
    ask: Text | None = optional("the question about it: is the key in run")
    denied: Text | None = optional(
        "what was so when it was forgotten: the key was not in run", alias="not"
    )
    how: Text | None = optional(
        "how it is brought about, told when asked: latched by hand means the claw pushed shut"
    )
    why: Text | None = optional(
        "why it is asked for, told to who asks what happens without: plugged in, the module loads "
        "the wire"
    )
    momentary: bool = Field(
        False, description="true: held only while one reads, as the key at start"
    )
    hold: Text | None = optional(
        "how long it may be held at most while one reads, 5 s; so it is momentary"
    )
    let_go: Text | None = optional("the words that end it: let the key go; default: let go")
    rest: Text | None = optional("how long it must rest after it was held: 1 min; with 'hold'")


_State = Annotated[
    Annotated[Text, Tag(TEXT)] | Annotated[StateShape, Tag(STATE)], by_form("state", STATE)
]
_Words = Annotated[
    Annotated[list[Text], Tag(LIST)] | Annotated[dict[Text, list[Text]], Tag(BLOCK)],
    by_form("words"),
]


class FactShape(KeyBlock):
    """A value of the job that limits use by its name, or one of some words."""

    say: Text = Field(
        description="what it is, for the question; of words the question itself: which lamps has it"
    )
    unit: Text | None = optional("its unit, for a value")
    words: _Words | None = optional(
        "the words that it can be, or each with ways to say it; tables and only-if go by them"
    )
    value: Text | None = optional("its value; without one the technician is asked")
    source: Text | None = optional("where it comes from; default: that of the procedure")
    shown_to: Literal["customer", "shop"] | None = optional(
        "customer: it stands on the page for the customer; shop: it never does; default: as "
        "the settings of the shop say"
    )


class FindingShape(ForEachBlock):
    """A cause the procedure can reach."""

    cause: Text = Field(description="what is wrong")
    correction: Text = Field(description="what puts it right, as an order: change the fan module")
    corrected: Text | None = optional("the same once done, for the report: changed the fan module")
    because: list[Name] = optional("steps whose readings prove it", list)
    condemns: Text | None = optional("the part that is condemned; with 'proved-by'")
    proved_by: dict[Text, Name] = optional(
        "what must be good before a part is condemned (feed, earth, command): the step that "
        "proves it",
        dict,
    )
    before_fitting: list[Name] = optional("steps to pass before a part is fitted", list)
    repair: list[Name] = optional("repair steps in order", list)
    prove_with: list[Name] = optional("steps that must pass afterwards", list)
    go_on: Name | None = optional(
        "the step at which the diagnosis goes on once it is put right, instead of "
        "'prove-with': boost the battery, then go on"
    )
    no_fault: bool | None = optional(
        "true: it blames nothing, and the job ends with no fault found; the name no-fault says "
        "so by itself"
    )


class ProcedureShape(KeyBlock):
    """The written test for one complaint on one kind of circuit."""

    procedure: Name = Field(description="its name: that of the file, without .yaml")
    title: Text = Field(description="its title, spoken at the start")
    subject: Text = Field(alias="for", description="the vehicle and circuit it is for")
    complaints: list[Text] = optional("what the customer says, in a few words each", list)
    tools: list[Text] = optional("what to have at hand", list)
    source: Text = Field(
        "general rule of thumb",
        description="where the limits come from, said when asked: general rule of thumb, "
        "standard NAME, or maker's data DOCUMENT",
    )
    each: dict[Name, list[Name] | dict[Name, dict[Name, Text]]] = optional(
        "groups of like things for 'for-each': fuse: [one, two], or with words for each: fuse: "
        "{one: {feeds: cabin}, two: {feeds: radio}}",
        dict,
    )
    facts: dict[Name, FactShape] = optional("values of the job that limits use, by name", dict)
    points: dict[Text, PointForm] = optional(
        "test point: where it is, or {where: ..., connector: ..., pin: ..., wire: ...}", dict
    )
    conditions: dict[Text, dict[Text, _State]] = optional(
        "name: {state: words that bring it about, or {do: ..., ask: ..., not: ...}}", dict
    )
    at_rest: dict[Text, Text] = optional(
        "condition: the state in which the vehicle is left; default: all as in at-first of the "
        "circuit",
        dict,
    )
    before_changing: dict[Text, Needs] = optional(
        "condition: {other condition: state it must be in while this one is changed}", dict
    )
    cautions: dict[Name, CautionShape] = optional(
        "your own cautions, by name, beside the built-in ones", dict
    )
    steps: dict[Name, StepShape] = Field(
        min_length=1, description="the steps by name; a session begins with the first"
    )
    repairs: dict[Name, StepShape] = optional(
        "repair steps by name, for 'repair' of a finding", dict
    )
    findings: dict[Name, FindingShape] = Field(
        min_length=1, description="the causes it can reach, by name"
    )
    circuit: CircuitShape | None = optional(
        "the circuit under test, on which the procedure is proved"
    )
    faults: dict[Name, FaultShape] = optional("what can be wrong with the circuit, by name", dict)


def schema_of(shape: type[KeyBlock]) -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of the files that ``shape`` describes."""
    schema = _plain(shape.model_json_schema(by_alias=True))
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema}


def _plain(part: dict[str, Any]) -> dict[str, Any]:
    """The same without nulls, which no file can hold, and without titles made from names."""
    choices = [choice for choice in part.get("anyOf", ()) if choice != {"type": "null"}]
    if len(choices) == 1:
        part = {**{key: v for key, v in part.items() if key != "anyOf"}, **choices[0]}
    made = {"title"} if isinstance(part.get("title"), str) else set()
    made |= {"default"} if part.get("default", "") is None else set()
    return {key: _child(value) for key, value in part.items() if key not in made}


def _child(value: object) -> object:
    if isinstance(value, list):
        return [_child(one) for one in value]
    return _plain(value) if isinstance(value, dict) else value
