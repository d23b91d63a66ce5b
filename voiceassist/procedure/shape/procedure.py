"""The shape of a procedure file, key by key. The JSON Schema is made from these classes."""

from typing import Annotated, Any, Literal

from pydantic import Discriminator, Field, Tag

from voiceassist.circuit.shape import CircuitShape, FaultShape, Name, Text
from voiceassist.procedure.shape.step import (
    EACH,
    LIST,
    STATE,
    TEXT,
    ForEachBlock,
    KeyBlock,
    Needs,
    PointForm,
    StepShape,
)


class CautionShape(KeyBlock):
    """A hazard with its signal word."""

    signal: Literal["DANGER", "WARNING", "CAUTION", "NOTICE"] = Field(
        description="DANGER will, WARNING could kill or maim; CAUTION could hurt; NOTICE: damage"
    )
    hazard: Text = Field(description="what can happen")
    avoid: Text = Field(description="how to avoid it")
    only_authorised: bool = Field(
        False,
        alias="only-authorised",
        description="true: only trained and authorised people may go on; others stop here",
    )
    short: Text | None = Field(
        None, description="a few words that remind of it once it was said in full: keep clear"
    )
    again_when: dict[Text, Text] = Field(
        default_factory=dict,
        alias="again-when",
        description="condition and state; it is told in full again when that has come about anew",
    )


class StateShape(KeyBlock):
    """A state of the vehicle with its own question and statement."""

    do: Text = Field(description="the words that bring it about: turn the key to run")
    ask: Text | None = Field(None, description="the question about it: is the key in run")
    denied: Text | None = Field(
        None, alias="not", description="what was so when it was forgotten: the key was not in run"
    )
    momentary: bool = Field(
        False, description="true: held only while one reads, as the key at start"
    )
    hold: Text | None = Field(
        None, description="how long it may be held at most while one reads, 5 s; so it is momentary"
    )
    let_go: Text | None = Field(
        None, alias="let-go", description="the words that end it: let the key go; default: let go"
    )
    rest: Text | None = Field(
        None, description="how long it must rest after it was held: 1 min; with 'hold'"
    )


def _state_form(value: object) -> str | None:
    return STATE if isinstance(value, dict) else TEXT if isinstance(value, str) else None


_State = Annotated[
    Annotated[Text, Tag(TEXT)] | Annotated[StateShape, Tag(STATE)],
    Discriminator(_state_form, custom_error_type="state", custom_error_message="words or a block"),
]


def _words_form(value: object) -> str | None:
    return EACH if isinstance(value, dict) else LIST if isinstance(value, list) else None


_Words = Annotated[
    Annotated[list[Text], Tag(LIST)] | Annotated[dict[Text, list[Text]], Tag(EACH)],
    Discriminator(_words_form, custom_error_type="words", custom_error_message="a list"),
]


class FactShape(KeyBlock):
    """A value of the job that limits use by its name, or one of some words."""

    say: Text = Field(
        description="what it is, for the question; of words the question itself: which lamps has it"
    )
    unit: Text | None = Field(None, description="its unit, for a value")
    words: _Words | None = Field(
        None,
        description="the words that it can be, or each with ways to say it; tables and only-if "
        "go by them",
    )
    value: Text | None = Field(None, description="its value; without one the technician is asked")
    source: Text | None = Field(
        None, description="where it comes from; default: that of the procedure"
    )
    shown_to: Literal["customer", "shop"] | None = Field(
        None,
        alias="shown-to",
        description="customer: it stands on the page for the customer; shop: it never does; "
        "default: as the settings of the shop say",
    )


class FindingShape(ForEachBlock):
    """A cause the procedure can reach."""

    cause: Text = Field(description="what is wrong")
    correction: Text = Field(description="what puts it right, as an order: change the fan module")
    corrected: Text | None = Field(
        None, description="the same once done, for the report: changed the fan module"
    )
    because: list[Name] = Field(default_factory=list, description="steps whose readings prove it")
    condemns: Text | None = Field(None, description="the part that is condemned; with 'proved-by'")
    proved_by: dict[Text, Name] = Field(
        default_factory=dict,
        alias="proved-by",
        description="what must be good before a part is condemned (feed, earth, command): the "
        "step that proves it",
    )
    before_fitting: list[Name] = Field(
        default_factory=list,
        alias="before-fitting",
        description="steps to pass before a part is fitted",
    )
    repair: list[Name] = Field(default_factory=list, description="repair steps in order")
    prove_with: list[Name] = Field(
        default_factory=list, alias="prove-with", description="steps that must pass afterwards"
    )
    go_on: Name | None = Field(
        None,
        alias="go-on",
        description="the step at which the diagnosis goes on once it is put right, instead of "
        "'prove-with': boost the battery, then go on",
    )
    no_fault: bool | None = Field(
        None,
        alias="no-fault",
        description="true: it blames nothing, and the job ends with no fault found; the name "
        "no-fault says so by itself",
    )


class ProcedureShape(KeyBlock):
    """The written test for one complaint on one kind of circuit."""

    procedure: Name = Field(description="its name: that of the file, without .yaml")
    title: Text = Field(description="its title, spoken at the start")
    subject: Text = Field(alias="for", description="the vehicle and circuit it is for")
    complaints: list[Text] = Field(
        default_factory=list, description="what the customer says, in a few words each"
    )
    tools: list[Text] = Field(default_factory=list, description="what to have at hand")
    source: Text = Field(
        "general rule of thumb",
        description="where the limits come from, said when asked: general rule of thumb, standard "
        "NAME, or maker's data DOCUMENT",
    )
    each: dict[Name, list[Name] | dict[Name, dict[Name, Text]]] = Field(
        default_factory=dict,
        description="groups of like things for 'for-each': fuse: [one, two], or with words for "
        "each: fuse: {one: {feeds: cabin}, two: {feeds: radio}}",
    )
    facts: dict[Name, FactShape] = Field(
        default_factory=dict, description="values of the job that limits use, by name"
    )
    points: dict[Text, PointForm] = Field(
        default_factory=dict,
        description="test point: where it is, or {where: ..., connector: ..., pin: ..., wire: ...}",
    )
    conditions: dict[Text, dict[Text, _State]] = Field(
        default_factory=dict,
        description="name: {state: words that bring it about, or {do: ..., ask: ..., not: ...}}",
    )
    at_rest: dict[Text, Text] = Field(
        default_factory=dict,
        alias="at-rest",
        description="condition: the state in which the vehicle is left; default: all as in "
        "at-first of the circuit",
    )
    before_changing: dict[Text, Needs] = Field(
        default_factory=dict,
        alias="before-changing",
        description="condition: {other condition: state it must be in while this one is changed}",
    )
    cautions: dict[Name, CautionShape] = Field(
        default_factory=dict, description="your own cautions, by name, beside the built-in ones"
    )
    steps: dict[Name, StepShape] = Field(
        min_length=1, description="the steps by name; a session begins with the first"
    )
    repairs: dict[Name, StepShape] = Field(
        default_factory=dict, description="repair steps by name, for 'repair' of a finding"
    )
    findings: dict[Name, FindingShape] = Field(
        min_length=1, description="the causes it can reach, by name"
    )
    circuit: CircuitShape | None = Field(
        None, description="the circuit under test, on which the procedure is proved"
    )
    faults: dict[Name, FaultShape] = Field(
        default_factory=dict, description="what can be wrong with the circuit, by name"
    )


def json_schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of a procedure file."""
    return schema_of(ProcedureShape)


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
