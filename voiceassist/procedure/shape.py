"""The shape of a procedure file, key by key. The JSON Schema is made from these classes."""

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, StringConstraints

Text = Annotated[str, StringConstraints(min_length=1, max_length=600)]
Name = Annotated[str, StringConstraints(pattern=r"^[a-z][a-z0-9]*(-[a-z][a-z0-9]*)*$")]
Needs = dict[Text, Text]
OneOrMore = Name | list[Name]


class _Part(BaseModel):
    model_config = ConfigDict(extra="forbid", populate_by_name=True, frozen=True)


class CautionShape(_Part):
    """A hazard with its signal word."""

    signal: Literal["DANGER", "WARNING", "CAUTION", "NOTICE"]
    hazard: Text = Field(description="what can happen")
    avoid: Text = Field(description="how to avoid it")


class AnswerShape(_Part):
    """An answer that can be said in several ways."""

    say: list[Text] = Field(min_length=1, description="ways to say it, in plain lower-case words")
    go: Name = Field(description="the step or finding it leads to")


class StepShape(_Part):
    """One thing to do, ask or measure: exactly one of measure, lamp, ask, identify and do."""

    measure: Text | None = Field(None, description="what to measure: voltage from feed to earth")
    lamp: Text | None = Field(None, description="where to hold the test lamp")
    ask: Text | None = Field(None, description="a question")
    identify: Literal["vin", "repair-order", "odometer"] | None = Field(
        None, description="a number of the job, to be spoken and read back"
    )
    do: Text | None = Field(None, description="an action")
    needs: Needs = Field(
        default_factory=dict, description="condition: state, in the order they are brought about"
    )
    caution: OneOrMore | None = Field(None, description="names of cautions spoken first")
    how: Text | None = Field(None, description="how to go about it")
    why: Text | None = Field(None, description="why this test; spoken when asked")
    accept: Text | list[Text] | None = Field(
        None, description="limit of a measurement, or the lamp states that pass"
    )
    unit: Text | None = Field(None, description="unit of a reading without a limit")
    plausible: Text | None = Field(None, description="range of readings that can occur at all")
    answers: dict[Text, Name | AnswerShape] | None = None
    then: Name | None = Field(None, description="where to go after a pass; default: the next step")
    low: Name | None = None
    high: Name | None = None
    over: Name | None = Field(None, description="where to go when the meter shows over range")
    fail: Name | None = Field(None, description="where to go after any reading that fails")
    dim: Name | None = None
    off: Name | None = None
    bright: Name | None = None
    flickering: Name | None = None
    sets: Needs = Field(default_factory=dict, description="states that hold once it is done")


class FindingShape(_Part):
    """A cause the procedure can reach."""

    cause: Text
    correction: Text
    because: list[Name] = Field(default_factory=list, description="steps whose readings prove it")
    before_fitting: list[Name] = Field(
        default_factory=list,
        alias="before-fitting",
        description="steps to pass before a part is fitted",
    )
    repair: list[Name] = Field(default_factory=list, description="repair steps in order")
    prove_with: list[Name] = Field(
        default_factory=list, alias="prove-with", description="steps that must pass afterwards"
    )


class ProcedureShape(_Part):
    """The written test for one complaint on one kind of circuit."""

    procedure: Name
    title: Text
    subject: Text = Field(alias="for", description="the vehicle and circuit it is for")
    complaints: list[Text] = Field(default_factory=list)
    tools: list[Text] = Field(default_factory=list)
    source: Text = Field(
        "general rule of thumb", description="where the limits come from, said when asked"
    )
    points: dict[Text, Text] = Field(default_factory=dict, description="name: where it is")
    conditions: dict[Text, dict[Text, Text]] = Field(
        default_factory=dict, description="name: {state: words that bring it about}"
    )
    cautions: dict[Name, CautionShape] = Field(default_factory=dict)
    steps: dict[Name, StepShape] = Field(min_length=1)
    repairs: dict[Name, StepShape] = Field(default_factory=dict)
    findings: dict[Name, FindingShape] = Field(min_length=1)


def json_schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of a procedure file."""
    schema = ProcedureShape.model_json_schema(by_alias=True)
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema}
