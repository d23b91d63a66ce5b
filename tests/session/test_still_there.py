"""A danger of the diagnosis is still there while it is put right, and while that is proved."""

from collections.abc import Callable

import pytest
from talk.situations import Talker

from voiceassist import resources
from voiceassist.procedure.model import Kind, Procedure, Step
from voiceassist.session.actions.finding import prove, start_repairing
from voiceassist.session.outputs import CautionSpoken
from voiceassist.session.session import Session, SessionSetup, Stage, Turn
from voiceassist.session.states import State

Begin = Callable[[SessionSetup, Session], Turn]
SHIPPED = sorted(file.stem for file in resources.folder("procedures").glob("*.yaml"))
POOR_EARTH = (
    *("no", "affirm", "twelve point five volts", "twelve point four volts", "affirm"),
    *("twelve point four volts", "four point two volts"),
)


def waiting(turn: Turn) -> dict[str, str]:
    """Cautions that were told just now and are to be acknowledged, each with its words."""
    told = (o for o in turn.outputs if isinstance(o, CautionSpoken) and o.acknowledge)
    return {caution.name: caution.text for caution in told}


def grave(step: Step) -> set[str]:
    return {c.name for c in step.cautions if c.signal.must_be_acknowledged}


def worked_at(step: Step, plugs: set[str]) -> set[str]:
    """Plugs that the step measures at, or that are unplugged for a look or for work."""
    if step.points or step.kind not in {Kind.ASK, Kind.DO}:
        return {point.connector for point in step.points if point.connector}
    return {*(need.condition for need in step.needs), *(name for name, _ in step.sets)} & plugs


def dangers(procedure: Procedure, queue: tuple[str, ...]) -> set[str]:
    """What is warned of anywhere at a plug that one of the steps works at.

    One that guards a state, such as a plug that is in, is none where the steps keep another.
    """
    steps = (*procedure.steps.values(), *procedure.repairs.values())
    plugs = {point.connector for step in steps for point in step.points} - {""}
    here = set().union(*(worked_at(procedure.step(name), plugs) for name in queue))
    near = set().union(*(grave(step) for step in steps if worked_at(step, plugs) & here))
    needs = [(need.condition, need.state) for name in queue for need in procedure.step(name).needs]
    guarded = {c.name: c.again_when for step in steps for c in step.cautions}
    return {name for name in near if not guarded[name] or set(guarded[name]) & set(needs)}


def told(one: Talker, name: str, begin: Begin, queue: tuple[str, ...]) -> set[str]:
    """What waits as the stage begins, all having been told before, and what its steps tell."""
    procedure = one.engine.setup.procedure
    steps = (*procedure.steps.values(), *procedure.repairs.values())
    every = (caution for step in steps for caution in step.cautions)
    warned = {caution.name: ("",) * len(caution.again_when) for caution in every}
    at = Session(step=procedure.first, finding=name, warned=tuple(warned.items()))
    first = waiting(begin(one.engine.setup, at)) if queue else {}
    return {*first, *(caution for each in queue for caution in grave(procedure.step(each)))}


def test_fuel_is_warned_of_again_with_the_offer_of_the_repair_and_before_its_proof() -> None:
    one = Talker("fuel-pump-pwm")
    turn = one.begin()
    for line in POOR_EARTH:
        turn = one.say(turn, line)
    assert turn.session.finding == "earth-side"
    assert "fuel-vapour" in waiting(turn)
    for line in ("yes", "done", "done"):
        turn = one.say(turn, line)
    assert turn.session.stage is Stage.PROVE
    assert waiting(turn)["fuel-vapour"].startswith("WARNING: fuel vapour explodes")
    assert one.say(turn, "twelve point three volts").session.ledger == turn.session.ledger
    assert one.say(turn, "affirm").session.state is State.MEASURE


@pytest.mark.parametrize("name", SHIPPED)
def test_every_danger_at_a_plug_is_told_again_in_the_repair_and_in_the_proof_there(
    name: str,
) -> None:
    one = Talker(name)
    procedure = one.engine.setup.procedure
    missing = [
        (finding.name, queue, caution)
        for finding in procedure.findings.values()
        for begin, queue in ((start_repairing, finding.repair), (prove, finding.prove_with))
        for caution in dangers(procedure, queue) - told(one, finding.name, begin, queue)
    ]
    assert missing == []


def test_where_a_lamp_is_wanted_near_fuel_it_is_said_where_it_may_be_held() -> None:
    one = Talker("fuel-pump-pwm")
    turn = one.begin()
    for line in POOR_EARTH[:4]:
        turn = one.say(turn, line)
    assert "hold the test lamp only in the boot" in waiting(turn)["pipes"]
    asked = " ".join(o.text for o in one.say(turn, "affirm").outputs)
    assert "lamp across them. Feed pin: pin one in the boot" in asked
