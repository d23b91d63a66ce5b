"""The JSON Schema that editors use agrees with what the reader takes."""

import json
from pathlib import Path

import jsonschema
import pytest
import yaml

from voiceassist.procedure.shape import json_schema

HOME = Path(__file__).parents[2] / "procedures"
SHIPPED = json.loads((HOME / "procedure.schema.json").read_text(encoding="utf-8"))


def test_the_shipped_schema_is_the_one_made_from_the_code() -> None:
    assert json_schema() == SHIPPED, (
        "run: python tests/make_schema.py > procedures/procedure.schema.json"
    )


def test_the_schema_is_a_schema() -> None:
    jsonschema.Draft202012Validator.check_schema(SHIPPED)


@pytest.mark.parametrize("path", sorted(HOME.glob("*.yaml")), ids=lambda p: str(p.stem))
def test_shipped_procedures_fit_the_schema(path: Path) -> None:
    plain = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)
    jsonschema.validate(plain, SHIPPED)
    assert path.read_text(encoding="utf-8").startswith("# yaml-language-server: $schema=")


def test_an_unknown_key_does_not_fit_the_schema() -> None:
    text = (HOME / "heater-fan-module.yaml").read_text(encoding="utf-8")
    plain = yaml.load(text.replace("title:", "titel:"), Loader=yaml.BaseLoader)
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(plain, SHIPPED)
