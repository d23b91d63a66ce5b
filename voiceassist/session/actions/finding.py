"""Where a result leads: the next step, a finding, its repair, the proof, the end."""

from voiceassist.language.phrasebook import capitalised
from voiceassist.procedure.model import NEVER, PASS, Kind
from voiceassist.session.actions.closing_up import conclude
from voiceassist.session.actions.enter import ONE_BREATH, enter
from voiceassist.session.actions.going_on import comes_again, nothing_else, once_put_right
from voiceassist.session.choosing import after_chosen, arrived, known_way, still_to_prove, wished
from voiceassist.session.copying import replace
from voiceassist.session.judge import judge
from voiceassist.session.judge_reading import computed
from voiceassist.session.limits import missing
from voiceassist.session.made_safe import made_safe
from voiceassist.session.outputs import (
    Ask,
    CautionSpoken,
    FindingWithdrawn,
    Output,
    ReadingTaken,
    Say,
    StepSkipped,
)
from voiceassist.session.own_find import proof_of
from voiceassist.session.proving import before_text, finding_told, is_to_prove
from voiceassist.session.session import Detail, Result, Session, SessionSetup, Stage, Turn
from voiceassist.session.shown import spoken_name
from voiceassist.session.states import State
from voiceassist.session.still_there import still_there
from voiceassist.session.values import applies, facts, words


def follow(setup: SessionSetup, session: Session, result: Result, target: str) -> Turn:
    """Go where ``result`` leads."""
    if session.stage is Stage.DIAGNOSE:
        return go(setup, *after_chosen(session, result, target))
    if result.passed:
        return next_in_stage(setup, session)
    if session.stage is Stage.PROVE:
        return _ask_retry(setup, session, target)
    if session.stage is Stage.REPAIR and not target:
        return conclude(setup, session, "not-proved")
    diagnosing = back_in_diagnosis(session)
    withdrawn = () if session.suspected else (FindingWithdrawn(name=session.finding),)
    return Turn(diagnosing, withdrawn).then(go(setup, diagnosing, target))


def go_on(setup: SessionSetup, session: Session, result: Result, target: str) -> Turn:
    """As ``follow``; from a wait that came again, back to the step that it came for."""
    if session.returning:
        return enter(setup, replace(session, returning=""), session.returning)
    return follow(setup, session, result, target)


def back_in_diagnosis(session: Session) -> Session:
    """Back in the diagnosis, with all that is known."""
    clear = replace(session, finding="", suspected=False, own="", own_proof=(), standing=())
    return replace(clear, stage=Stage.DIAGNOSE, queue=())


def go(setup: SessionSetup, session: Session, target: str) -> Turn:
    """Come to a step or a finding."""
    if target in setup.procedure.findings:
        return reach(setup, session, target)
    return arrive(setup, session, target)


def arrive(setup: SessionSetup, session: Session, name: str) -> Turn:
    """Come to a step; what needs no technician (a given fact, a sum) is passed through at once.

    A step that is not for this vehicle is left out.
    """
    if way := known_way(session, name):
        return go(setup, replace(session, step=name), way)
    session = arrived(session, name)
    step = setup.procedure.step(name)
    if step.fact and step.fact in {*facts(setup, session), *words(setup, session)}:
        return go(setup, replace(session, step=name), next(iter(step.routes.values())))
    if not applies(setup, session, step):
        return _leave_out(setup, replace(session, step=name))
    if step.kind is Kind.COMPUTE:
        return _compute(setup, replace(session, step=name))
    return _come_to(setup, session, name)


def _come_to(setup: SessionSetup, session: Session, name: str) -> Turn:
    """Come to a step that is for the technician: or to what the complaint told of it."""
    session = replace(session, standing_at=session.standing_at or name)
    if name in dict(session.told):
        return _as_told(setup, session, name)
    entered = enter(setup, session, name)
    going, first = wished(setup, entered)
    if not first:
        return entered
    said = Say(step=name, text=setup.book("told.first", step=capitalised(spoken_name(first))))
    return Turn(going, (said,)).then(arrive(setup, going, first))


def _as_told(setup: SessionSetup, session: Session, name: str) -> Turn:
    """A question whose answer was told before it was asked; *go back* comes to the question."""
    meaning = dict(session.told)[name]
    rest = tuple(one for one in session.told if one[0] != name)
    asked = enter(setup, replace(session, told=rest), name).session
    judged = judge(setup, asked, meaning)
    assert judged.result is not None
    text = setup.book("told.as_told", what=judged.result.shown)
    said = ReadingTaken(step=name, text=text, name=judged.result.outcome, shown=judged.result.shown)
    taken = replace(asked.settled, ledger=(*asked.ledger, judged.result), previous=asked)
    return Turn(taken, (said,)).then(follow(setup, taken, judged.result, judged.target))


def _leave_out(setup: SessionSetup, session: Session) -> Turn:
    """Past a step that is not for this vehicle, as after a pass, and said so."""
    step = setup.step(session)
    said = Say(step=step.name, text=setup.book("skip.left_out", step=spoken_name(step.name)))
    result = Result(step.name, session.stage, None, PASS, True, "")
    target = step.skip if step.skip not in {"", NEVER} else step.routes.get(PASS, "")
    return Turn(session, (said,)).then(follow(setup, session, result, target))


def _compute(setup: SessionSetup, session: Session) -> Turn:
    step = setup.step(session)
    judged = computed(setup, session, step)
    if judged.result is None:
        return _not_computed(setup, session, enter(setup, session, step.name))
    result = judged.result
    assert result.quantity is not None
    said = ReadingTaken(
        step=step.name,
        text=setup.book("echo.computed", step=spoken_name(step.name), shown=result.shown),
        shown=result.shown,
        value=result.quantity.value,
        unit=str(result.quantity.unit),
    )
    given: tuple[Output, ...] = (said, judged.verdict) if judged.verdict else (said,)
    result = replace(result, by_itself=True)
    taken = replace(session, ledger=(*session.ledger, result), previous=session)
    return Turn(taken, given).then(follow(setup, taken, result, judged.target))


def _not_computed(setup: SessionSetup, session: Session, entered: Turn) -> Turn:
    """A sum that cannot be had: when a value is missing, go on; else the technician decides."""
    step = setup.step(session)
    judged = computed(setup, session, step)
    assert judged.verdict is not None
    if step.skip == NEVER or not missing(setup, session, step):
        ask = Ask(step=step.name, text=setup.book("compute.unsure"))
        prompt: tuple[Output, ...] = (judged.verdict, ask)
        return Turn(replace(entered.session, prompt=prompt), prompt)
    shown = setup.book.plain("outcome.skipped")
    result = Result(step.name, session.stage, None, "skipped", False, shown, by_itself=True)
    skipped = StepSkipped(step=step.name, text=judged.verdict.text, reason="no-value")
    taken = replace(session, ledger=(*session.ledger, result), previous=session)
    target = step.skip or step.routes.get(PASS, "")
    return Turn(taken, (skipped,)).then(follow(setup, taken, replace(result, passed=True), target))


# --- findings ---


def reach(setup: SessionSetup, session: Session, name: str) -> Turn:
    """Tell the finding, then offer its repair if it has one.

    Before a part is condemned, what proves it is asked for, and the finding is only suspected;
    before a part is fitted, what would kill it is checked.
    """
    finding = setup.procedure.findings[name]
    if finding.no_fault and session.put_right:
        return nothing_else(setup, session, finding)
    proofs = [step for _, step in finding.proved_by if is_to_prove(setup, session, step)]
    left = [step for step in still_to_prove(setup, session, finding) if step not in proofs]
    proofs += [step for step in left if is_to_prove(setup, session, step)]
    wanted = dict.fromkeys((*proofs, *finding.before_fitting))
    todo = tuple(step for step in wanted if is_to_prove(setup, session, step))
    reached = replace(session, finding=name, suspected=bool(proofs))
    at_once = not todo and bool(_whole_repair(setup, reached))
    told = finding_told(setup, session, finding, at_once=at_once)
    turn = Turn(reached) if proofs else Turn(reached, (told,))
    if not todo:
        return turn.then(_offer_repair(setup, turn.session))
    before = replace(turn.session, stage=Stage.BEFORE_FITTING, queue=todo)
    said = Say(text=before_text(setup, finding, todo, left))
    return turn.add(said).then(next_in_stage(setup, before))


def _offer_repair(setup: SessionSetup, session: Session) -> Turn:
    finding = setup.procedure.findings[session.finding]
    proved = replace(session.settled, suspected=False)
    whole = _whole_repair(setup, session)
    finding_said = finding_told(setup, session, finding, at_once=bool(whole))
    spoken = (finding_said,) if session.suspected else ()
    again = Say(step=finding_said.step, text=finding_said.text)
    if comes_again(session, finding):
        once_more = Say(step=session.step, text=setup.book("finding.once_more"))
        spoken = (*spoken, once_more)
        return Turn(proved, spoken).then(conclude(setup, proved, "found", again, once_more))
    if not (finding.repair or finding.prove_with or finding.go_on):
        return Turn(proved, spoken).then(conclude(setup, proved, "found", again))
    asks = whole or _warned_offer(setup, proved)
    return Turn(replace(proved, state=State.OFFER, prompt=(again, *asks)), (*spoken, *asks))


def _warned_offer(setup: SessionSetup, session: Session) -> tuple[Output, ...]:
    """The offer, and before it the cautions that its first step would wait for.

    The lighter ones of that step are told with it, once it begins.
    """
    finding = setup.procedure.findings[session.finding]
    key = "put_right_go_on" if finding.go_on else "put_right"
    if not finding.repair:
        return (
            *made_safe(setup, session),
            Ask(step=session.step, text=setup.book(f"finding.{key}")),
        )
    first = start_repairing(setup, session)
    gated = first.session.state is State.CAUTION and setup.detail is not Detail.TEACHING
    told = (o for o in first.outputs if isinstance(o, CautionSpoken) and o.acknowledge)
    cautions = tuple(told) if gated else ()
    key = "finding.repair_warned" if cautions else "finding.repair"
    return (*cautions, Ask(step=session.step, text=setup.book(key)))


def _whole_repair(setup: SessionSetup, session: Session) -> tuple[Output, ...]:
    """All of a repair of one step that is told in one breath, and waits with no caution.

    To be guided through it is to be told it. Nothing where there is more to it; a trainee is
    always asked first.
    """
    finding = setup.procedure.findings[session.finding]
    if len(finding.repair) != 1 or comes_again(session, finding):
        return ()
    first = start_repairing(setup, replace(session.settled, suspected=False))
    words = sum(len(output.text.split()) for output in first.outputs)
    short = words <= ONE_BREATH and setup.detail is not Detail.TEACHING
    if first.session.state is not State.DO or not short:
        return ()
    again = "say_done" if session.has_practised("done", once=True) else "or"
    leave = Ask(step=first.session.step, text=setup.book(f"finding.{again}_leave"))
    return (*first.outputs, leave)


def next_in_stage(setup: SessionSetup, session: Session) -> Turn:
    """The next step of this stage, or the stage that follows."""
    if session.queue:
        rest = replace(session, queue=session.queue[1:])
        return arrive(setup, rest, session.queue[0])
    if session.stage is Stage.BEFORE_FITTING:
        return _offer_repair(setup, replace(session, stage=Stage.DIAGNOSE))
    if session.stage is Stage.REPAIR and proof_of(setup, session):
        return prove(setup, session)
    if session.stage is Stage.REPAIR and setup.procedure.findings[session.finding].go_on:
        return on_with_diagnosis(setup, session)
    return conclude(setup, session, _outcome(session))


def on_with_diagnosis(setup: SessionSetup, session: Session) -> Turn:
    """What was found is put right: the diagnosis goes on where the finding tells."""
    target = setup.procedure.findings[session.finding].go_on
    said = Say(text=setup.book("finding.goes_on"))
    back = back_in_diagnosis(once_put_right(session, target))
    return Turn(back, (said,)).then(go(setup, back, target))


def prove(setup: SessionSetup, session: Session) -> Turn:
    """The first step of the proof."""
    proving = _stage(setup, session, Stage.PROVE, proof_of(setup, session))
    said = Say(text=setup.book("finding.prove"))
    return Turn(proving, (said,)).then(next_in_stage(setup, proving))


def _outcome(session: Session) -> str:
    proofs = {r.step: r for r in session.ledger if r.stage is Stage.PROVE and not r.superseded}
    return "repaired" if proofs and all(r.passed for r in proofs.values()) else "not-proved"


def _stage(setup: SessionSetup, session: Session, stage: Stage, queue: tuple[str, ...]) -> Session:
    """A new stage begins: cautions are to be acknowledged anew, and old dangers are still there."""
    standing = still_there(setup.procedure, session, queue)
    begun = replace(session, standing=standing, standing_at="", acknowledged=frozenset())
    return replace(begun, stage=stage, queue=queue)


def _ask_retry(setup: SessionSetup, session: Session, target: str) -> Turn:
    """The proof failed: take it again, or look further from there."""
    ask = Ask(step=session.step, text=setup.book("finding.retry"))
    stays = replace(session.settled, state=State.RETRY, prompt=(ask,), queue=())
    return Turn(replace(stays, astray=target or setup.procedure.first), (ask,))


def start_repairing(setup: SessionSetup, session: Session) -> Turn:
    """The first step of the repair, or of its proof when there is nothing to repair."""
    finding = setup.procedure.findings[session.finding]
    repairing = _stage(setup, session, Stage.REPAIR, finding.repair)
    return next_in_stage(setup, repairing)
