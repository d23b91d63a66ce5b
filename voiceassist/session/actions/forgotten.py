"""A reading that may have been taken with a condition of its step forgotten."""

from collections.abc import Collection, Sequence

from voiceassist.errors import MeasureError
from voiceassist.language.meanings import Lamp, Meaning, OverRange
from voiceassist.language.phrasebook import capitalised
from voiceassist.measure.decision import decide
from voiceassist.measure.limit import Verdict
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.uncertainty import Estimate
from voiceassist.procedure.model import Lookalike, Need
from voiceassist.procedure.parts.asking import wording_in
from voiceassist.procedure.parts.leads import LEADS
from voiceassist.session.actions.enter import as_made, enter, not_expected, prepare, unmade
from voiceassist.session.copying import replace
from voiceassist.session.earlier import restore
from voiceassist.session.events import Event, about_of
from voiceassist.session.flowing import has_lamp
from voiceassist.session.judge import judge
from voiceassist.session.judged import Judged
from voiceassist.session.limits import Filled, fill
from voiceassist.session.naming import IN_STATE
from voiceassist.session.outputs import Ask, ConditionChange, Output, Say, VerdictGiven, Withdrawn
from voiceassist.session.session import Result, Session, SessionSetup, Stage, Turn
from voiceassist.session.shown import spoken_name
from voiceassist.session.states import State
from voiceassist.session.values import estimates


def may_be_forgotten(
    setup: SessionSetup, session: Session, judged: Judged, vouched: Collection[str] = ()
) -> tuple[Need, ...]:
    """What is asked about before such a failing result counts; empty for nothing.

    It is what the step says that the reading looks like, else what was never told as made where a
    step cannot know: a repair is not to be doubted, nor a part found bad by a dark lamp, for a key
    that is still off.

    Args:
        setup: of the session.
        session: at the step.
        judged: what was read, and where it leads; over range is more than any value.
        vouched: conditions that are known to be right.
    """
    assert judged.result is not None
    if judged.result.passed:
        return ()
    lookalike = _looks_forgotten(setup, session, judged.result, vouched)
    if lookalike is not None:
        return (lookalike.need,)
    untold = _never_told(setup, session, judged) - {*vouched, LEADS}
    return tuple(need for need in setup.step(session).needs if need.condition in untold)


def _never_told(setup: SessionSetup, session: Session, judged: Judged) -> frozenset[str]:
    """Conditions that nobody told as made, where the step does not know what it reads without."""
    now = frozenset(change.name for change in unmade(setup, session))
    if session.correcting:
        return frozenset()
    if session.stage is Stage.PROVE:
        return session.unsaid | now
    to_a_finding = judged.target in setup.procedure.findings
    doubted = session.state is State.LAMP and to_a_finding
    return now | _left_in_the_dark(setup, session) if doubted else frozenset()


def _left_in_the_dark(setup: SessionSetup, session: Session) -> frozenset[str]:
    """Changes nobody told as made, since which the lamp was rightly dark, as it is without them."""
    needed = set[str]()
    for result in reversed(session.ledger):
        if result.stage is not session.stage or not _is_dark(result):
            break
        needed.update(need.condition for need in setup.procedure.step(result.step).needs)
    return session.unsaid & needed


def _is_dark(result: Result) -> bool:
    """Whether a lamp that does not burn was right."""
    return result.passed and result.meaning == Lamp("off")


def _looks_forgotten(
    setup: SessionSetup, session: Session, result: Result, vouched: Collection[str]
) -> Lookalike | None:
    """What the step says such a failing reading looks like; None when like nothing it knows."""
    if result.quantity is None and not isinstance(result.meaning, OverRange):
        return None
    for lookalike in setup.step(session).lookalikes:
        if lookalike.need.condition in vouched:
            continue
        try:
            limit = fill(lookalike.limit, estimates(setup, session, lookalike.limit.names))
        except MeasureError:
            continue
        if _is_within(setup, result.quantity, limit):
            return lookalike
    return None


def _is_within(setup: SessionSetup, read: Quantity | None, limit: Filled) -> bool:
    """Whether what was ``read`` is within ``limit``; None stands for over range."""
    if read is None:
        return limit.high is None
    found = decide(Estimate.exact(read), limit.low, limit.high, setup.risk)
    return found.verdict in {Verdict.PASS, Verdict.TOO_CLOSE}


def asked_about(setup: SessionSetup, session: Session) -> tuple[Need, ...]:
    """The conditions that ``session`` asks about, and the states that they should be in.

    Of what passes it is asked whether the load is on, which all of them together see to.
    """
    at_step = session.at_step
    judged = judge(setup, at_step, session.pending[0])
    assert judged.result is not None
    if judged.result.passed:
        step = setup.step(at_step)
        return () if has_lamp(setup, step) else step.needs
    return may_be_forgotten(setup, at_step, judged, session.vouched)


def ask_forgotten(
    setup: SessionSetup,
    session: Session,
    meaning: Meaning,
    needs: Sequence[Need],
    vouched: tuple[str, ...] = (),
) -> Turn:
    """Ask about ``needs`` before the value is believed; ``vouched`` were asked about."""
    judged = judge(setup, session, meaning)
    assert judged.result is not None
    words = [wording_in(setup.procedure, need.condition, need.state) for need in needs]
    looks = _looks_forgotten(setup, session, judged.result, vouched)
    text = setup.book(
        "forgotten.ask" if looks is not None else "forgotten.never_told",
        shown=judged.result.shown,
        denied=words[0].denied,
        ask=capitalised(setup.book.join("list.and", (one.ask for one in words))),
    )
    return _ask(session, meaning, text, vouched)


def ask_load(setup: SessionSetup, session: Session, meaning: Meaning, result: Result) -> Turn:
    """Ask whether the load is on before a drop of next to nothing is believed."""
    step = setup.step(session)
    rest = setup.procedure.circuit.at_first if setup.procedure.circuit is not None else {}
    moved = [n for n in step.needs if rest.get(n.condition, n.state) != n.state]
    asks = [wording_in(setup.procedure, n.condition, n.state).ask for n in moved]
    if has_lamp(setup, step):
        asks = [setup.book.plain("forgotten.lamp")]
    asks = asks or [setup.book.plain("forgotten.load")]
    ask = capitalised(setup.book.join("list.and", asks))
    text = setup.book("forgotten.no_load", shown=result.shown, ask=ask)
    return _ask(session, meaning, text)


def _ask(session: Session, meaning: Meaning, text: str, vouched: tuple[str, ...] = ()) -> Turn:
    ask = Ask(step=session.step, text=text)
    waiting = replace(
        session,
        state=State.FORGOTTEN,
        pending=(meaning,),
        vouched=vouched,
        resume=session.at_step,
        prompt=(ask,),
    )
    return Turn(waiting, (ask,))


def condition_was_wrong(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """It was forgotten: the value does not count, and the condition has to be brought about."""
    needs = asked_about(setup, session)
    made = as_made(setup, session.at_step)
    without, unknown = made.session, list[Output]()
    for name in (need.condition for need in needs):
        without = without.without_condition(name)
        unknown.append(ConditionChange(step=session.step, name=name, state="", met=False))
    key = "forgotten.refused" if len(needs) == 1 else "forgotten.refused_all"
    return _on_without(setup, session, needs, Turn(without, (*made.outputs, *unknown)), key)


def told_forgotten(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """He forgot it, or tells of another state than it should be in; else it is asked again."""
    about = about_of(event)
    name, _, state = about.partition(IN_STATE)
    asked = {need.condition: need.state for need in asked_about(setup, session)}
    if about and asked.get(name, state) == state:
        return not_expected(setup, session, event)
    return condition_was_wrong(setup, session, event)


def condition_put_right(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """It was forgotten, and is done by now: the value is to be read again."""
    needs = asked_about(setup, session)
    made = as_made(setup, session.at_step)
    met = tuple(
        ConditionChange(step=session.step, name=need.condition, state=need.state, met=True)
        for need in needs
    )
    lasting = tuple((n.condition, n.state) for n in needs if not n.momentary)
    changed = made.session.with_conditions(lasting)
    outputs = (*made.outputs, *met)
    return _on_without(setup, session, needs, Turn(changed, outputs), "forgotten.once_more")


def _on_without(
    setup: SessionSetup, session: Session, needs: Sequence[Need], changed: Turn, key: str
) -> Turn:
    """The value does not count; nor does an earlier one that led here without what was needed."""
    refused = changed.add(_refused(setup, session, needs, key))
    led_here = _first_without(setup, session.at_step, needs)
    if led_here is None:
        return refused.then(prepare(setup, changed.session))
    earlier = restore(changed.session, led_here)
    gone = session.ledger[len(led_here.ledger) :]
    withdrawn = tuple(Withdrawn(step=r.step) for r in gone if not r.superseded)
    text = setup.book("forgotten.nor", step=spoken_name(led_here.step))
    said = Say(step=led_here.step, text=text)
    return refused.add(said, *withdrawn).then(enter(setup, earlier, earlier.step))


def _first_without(setup: SessionSetup, session: Session, needs: Sequence[Need]) -> Session | None:
    """Where the first result was given that any of ``needs`` was forgotten for, too."""
    found = (_led_here_without(setup, session, need) for need in needs)
    return min((at for at in found if at is not None), key=lambda at: len(at.ledger), default=None)


def _led_here_without(setup: SessionSetup, session: Session, need: Need) -> Session | None:
    """Where the first of the failing results was given that ``need`` was forgotten for, too.

    A lamp that was rightly dark is doubted like these. Else a result that passed shows that the
    condition held where its step knows what it would have looked like otherwise.
    """
    found, at = None, session
    while not session.correcting and at.previous is not None and at.ledger:
        result, step = at.ledger[-1], setup.procedure.step(at.ledger[-1].step)
        knows = any(look.need.condition == need.condition for look in step.lookalikes)
        held = dict(result.conditions).get(need.condition) == need.state
        if not held or result.stage is not session.stage or (knows and result.passed):
            break
        at = at.previous
        needed = any(one.condition == need.condition for one in step.needs)
        doubtful = not result.passed or _is_dark(result)
        found = at if needed and doubtful and result.outcome != "skipped" else found
    return found


def _refused(
    setup: SessionSetup, session: Session, needs: Sequence[Need], key: str
) -> VerdictGiven:
    judged = judge(setup, session.at_step, session.pending[0])
    assert judged.result is not None
    denied = wording_in(setup.procedure, needs[0].condition, needs[0].state).denied if needs else ""
    return VerdictGiven(
        step=session.step,
        text=setup.book(key, denied=denied),
        reading=judged.result.shown,
        limit="",
        verdict=Verdict.NOT_VALID.value,
    )
