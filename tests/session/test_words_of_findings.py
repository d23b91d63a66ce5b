"""A finding's words fit all that leads to it: a lamp that is dim as well as one that is off."""

import re

import pytest
from lines import Lines

from voiceassist import resources
from voiceassist.app import build
from voiceassist.procedure.model import Kind, Procedure

SHIPPED = sorted(file.stem for file in resources.folder("procedures").glob("*.yaml"))
#: Said of what is open, and wrong of what is only poor.
_OPEN = re.compile(r"(?<!or )\b(not fed|does not|no current|nothing|is (broken|open))\b(?! or)")


def led_by_dim(procedure: Procedure) -> set[str]:
    """Findings that a dim lamp leads to, as well as one that is off."""
    lamps = (step.routes for step in procedure.steps.values() if step.kind is Kind.LAMP)
    fails = ({r.get("fail", ""), r.get("dim", "")} for r in lamps)
    return set.union(set(), *fails) & procedure.findings.keys()


@pytest.mark.parametrize("name", SHIPPED)
def test_no_finding_that_a_dim_lamp_leads_to_tells_that_nothing_flows(name: str) -> None:
    procedure = build.procedure(name).procedure
    told = {n: procedure.findings[n].cause for n in led_by_dim(procedure)}
    assert {n: cause for n, cause in told.items() if _OPEN.search(cause)} == {}


def test_the_earth_of_the_fan_that_leaves_the_lamp_dim_is_told_as_open_or_poor() -> None:
    fan = Lines("heater-fan-module").walk(
        "earth-lamp", battery="twelve point six", feed="twelve point five", feed_lamp="bright"
    )
    assert "Finding: the earth of the fan module is open or poor." in fan.type("dim")
