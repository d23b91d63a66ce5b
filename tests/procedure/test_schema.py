"""The JSON Schemas that editors use agree with what the readers take."""

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml
from make_schema import HOME, made

from voiceassist.procedure.meter_file import inspect_meter
from voiceassist.procedure.read import inspect

HOUSE = Path(__file__).parents[2]
SCHEMAS = {name: json.loads((HOME / name).read_text(encoding="utf-8")) for name in made()}
PROCEDURE, METER = SCHEMAS["procedure.schema.json"], SCHEMAS["meter.schema.json"]
PROCEDURES = [*HOME.glob("*.yaml"), *(HOUSE / "tests" / "data").glob("*.yaml")]
METERS = sorted((HOME / "meters").glob("*.yaml"))


class _Editor(yaml.SafeLoader):
    """Takes scalars as YAML 1.2 editors do: "off" and "no" are text, 4 and true are not."""


_KINDS = (("int", r"\d+$", "0123456789"), ("bool", r"true$|false$", "tf"))
_Editor.yaml_implicit_resolvers = {
    letter: [(f"tag:yaml.org,2002:{kind}", re.compile(pattern))]
    for kind, pattern, letters in _KINDS
    for letter in letters
}


def fits(text: str, schema: dict[str, Any]) -> bool:
    return not list(
        jsonschema.Draft202012Validator(schema).iter_errors(yaml.load(text, Loader=_Editor))
    )


@pytest.mark.parametrize("name", sorted(made()))
def test_the_shipped_schema_is_the_one_made_from_the_code(name: str) -> None:
    assert made()[name] == SCHEMAS[name], "run: python tests/make_schema.py"
    jsonschema.Draft202012Validator.check_schema(SCHEMAS[name])


@pytest.mark.parametrize("path", [*PROCEDURES, *METERS], ids=lambda p: str(p.stem))
def test_files_without_faults_fit_the_schema(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert fits(text, METER if path in METERS else PROCEDURE)


@pytest.mark.parametrize("path", [*HOME.rglob("*.yaml")], ids=lambda p: str(p.stem))
def test_shipped_files_tell_an_editor_where_their_schema_is(path: Path) -> None:
    first = path.read_text(encoding="utf-8").splitlines()[0]
    mark, _, target = first.partition("$schema=")
    assert mark == "# yaml-language-server: "
    assert (path.parent / target).resolve() in [HOME / name for name in SCHEMAS]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("title:", "titel:"),
        ("complaints: [", "complaints: x #"),
        ("signal: WARNING", "signal: PERIL"),
        ("    measure: voltage across", "    mesure: voltage across"),
        ("low: charge-first", "low: Charge First"),
        ("steps:\n", "steps: {}\nsteps-of-old:\n"),
        ("accept: 12.0 V to 12.9 V", "accept: {direction: sideways}"),
        ("accept: 12.0 V to 12.9 V", "accept: {by: key}"),
        ("accept: 12.0 V to 12.9 V", "accept: {by: key, table: {}}"),
        ("caution: battery", "caution: {battery: yes}"),
        ("yes: motor-current", "yes: {go: motor-current}"),
        ("cause: the fan motor drags", "reason: the fan motor drags"),
    ],
)
def test_what_does_not_fit_the_schema_is_refused_by_the_reader_too(old: str, new: str) -> None:
    text = (HOME / "heater-fan-module.yaml").read_text(encoding="utf-8")
    assert old in text
    spoilt = text.replace(old, new, 1)
    assert not fits(spoilt, PROCEDURE)
    assert inspect(spoilt)[0] is None


@pytest.mark.parametrize(
    ("old", "new"), [("top:", "tpo:"), ("ranges:", "range:"), ("meter: ", "m: ")]
)
def test_a_spoilt_meter_does_not_fit_either(old: str, new: str) -> None:
    spoilt = METERS[0].read_text(encoding="utf-8").replace(old, new, 1)
    assert not fits(spoilt, METER)
    assert inspect_meter(spoilt)[0] is None


def properties(schema: dict[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    """Each key that a file can have, with what the schema says of it."""
    for shape in (schema, *schema["$defs"].values()):
        for key, value in shape["properties"].items():
            yield f"{shape['title']}.{key}" if "title" in shape else key, value


@pytest.mark.parametrize("name", sorted(SCHEMAS))
def test_every_key_is_described_for_an_editor(name: str) -> None:
    found = dict(properties(SCHEMAS[name]))
    assert len(found) >= 8
    assert [key for key, value in found.items() if len(value.get("description", "")) < 8] == []
