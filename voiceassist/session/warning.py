"""Which cautions a step is begun with, and whether each is told in full or in short."""

from collections.abc import Iterable, Iterator, Mapping

from voiceassist.language.phrasebook import capitalised
from voiceassist.procedure.model import Caution, Need, Signal, Step
from voiceassist.session.copying import replace
from voiceassist.session.outputs import CautionSpoken
from voiceassist.session.session import Session, SessionSetup


def in_full(setup: SessionSetup, session: Session, step: Step) -> tuple[CautionSpoken, ...]:
    """The step's cautions with all their words; those still to be acknowledged are marked."""
    return tuple(_full(setup, session, step, caution) for caution in step.cautions)


def as_needed(
    setup: SessionSetup, session: Session, step: Step, changing: Iterable[Need]
) -> tuple[CautionSpoken, ...]:
    """The step's cautions, in short where they were told and what they guard is as it was.

    A DANGER is never shortened, nor is a caution that is still to be acknowledged.

    Args:
        setup: as ever.
        session: before the step's changes are made.
        step: that begins.
        changing: the changes that will be made for it.
    """
    moved = {need.condition: need.state for need in changing}
    return tuple(
        _full(setup, session, step, caution)
        if _fresh(session, caution, moved)
        else _short(setup, step, caution)
        for caution in step.cautions
    )


def warned_of(session: Session, step: Step) -> Session:
    """The session after the step's cautions were told, the vehicle being as they guard it now."""
    told = dict(session.warned)
    told |= {caution.name: _states(session, caution) for caution in step.cautions}
    return replace(session, warned=tuple(told.items()))


def must_acknowledge(caution: Caution, session: Session) -> bool:
    """True until it was acknowledged in this stage."""
    return caution.signal.must_be_acknowledged and caution.name not in session.acknowledged


def _fresh(session: Session, caution: Caution, moved: Mapping[str, str]) -> bool:
    grave = caution.signal is Signal.DANGER or must_acknowledge(caution, session)
    states_then = dict(session.warned).get(caution.name)
    return grave or states_then is None or any(_anew(session, caution, moved, states_then))


def _anew(
    session: Session, caution: Caution, moved: Mapping[str, str], told: tuple[str, ...]
) -> Iterator[bool]:
    """For each state that it guards: whether it holds now and did not when it was told."""
    for (condition, state), was in zip(caution.again_when, told, strict=True):
        yield moved.get(condition, session.condition(condition)) == state != was


def _states(session: Session, caution: Caution) -> tuple[str, ...]:
    return tuple(session.condition(name) for name, _ in caution.again_when)


def _full(setup: SessionSetup, session: Session, step: Step, caution: Caution) -> CautionSpoken:
    key = "caution.authorised" if caution.only_authorised else "caution.text"
    text = setup.book(
        key,
        signal=caution.signal.value,
        hazard=caution.hazard,
        avoid=capitalised(caution.avoid),
    )
    return CautionSpoken(
        step=step.name,
        text=text,
        name=caution.name,
        signal=caution.signal.value,
        hazard=caution.hazard,
        acknowledge=must_acknowledge(caution, session),
    )


def _short(setup: SessionSetup, step: Step, caution: Caution) -> CautionSpoken:
    words = caution.short or caution.hazard
    return CautionSpoken(
        step=step.name,
        text=setup.book("caution.short", signal=caution.signal.value, short=words),
        name=caution.name,
        signal=caution.signal.value,
        hazard=words,
    )
