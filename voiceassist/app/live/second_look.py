"""A number that was told, looked at once more by the words around it and by what can be there.

It is asked about where those words leave open what is meant, and it would end the diagnosis.
"""

from decimal import Decimal

from voiceassist.app.live.guessed_numbers import TEN, how_many
from voiceassist.language.meanings import Answer, Correction, OverRange, Reading
from voiceassist.language.step import StepGrammar
from voiceassist.measure.quantity import Quantity
from voiceassist.session.actions.slips import units_meant
from voiceassist.session.copying import replace
from voiceassist.session.events import Heard
from voiceassist.session.judge import judge
from voiceassist.session.possible import limit_or_none, possible
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.states import State

#: Two digits, which may be said one by one.
_TWO_DIGITS = range(11, 100)


def second_look(event: Heard, grammar: StepGrammar, setup: SessionSetup, session: Session) -> Heard:
    """``event`` with the number that can be meant, or doubtful where its words leave it open."""
    own = event.meanings[0] if len(event.meanings) == 1 else None
    if session.state is State.CONFIRM and isinstance(own, Correction | Reading):
        wished = event.certain and grammar.values.is_as_it_should(event.words)
        return _in_doubt(event) if wished else _last_digit(event, own, grammar, session)
    if session.state is State.ASK and event.guessed and isinstance(own, Answer):
        back = _is_taken_back(event, own, grammar)
        return replace(event, meanings=(), guess=own, guessed=False) if back else event
    if session.state is not State.MEASURE or not isinstance(own, Reading):
        return event
    either = grammar.numbers.amended_in(event.words)
    if event.certain and own in either and how_many(either) > 1:
        return _in_doubt(replace(event, meanings=either))
    if event.certain and _ends_unsure(event.words, own, grammar, setup, session):
        return _in_doubt(event)
    return _pointed(event, own, grammar, setup, session)


def off_meter(event: Heard, grammar: StepGrammar, _setup: SessionSetup, _session: Session) -> Heard:
    """``event``; over range of no meter is left alone where it is somebody's, else asked about."""
    over = OverRange() in (*event.meanings, event.guess)
    if not (over and grammar.values.is_off_meter(event.words)):
        return event
    if not grammar.is_known_by_a_part(event.words):
        return event
    if grammar.values.is_of_somebody(event.words):
        return replace(event, meanings=(), guess=None, guessed=False, let_pass=True)
    return replace(event, meanings=(), guess=OverRange(), guessed=False)


def _is_taken_back(event: Heard, own: Answer, grammar: StepGrammar) -> bool:
    """Whether what is said behind a "but" answers the other way: "a leaf in it, but it spins"."""
    behind = grammar.parse(grammar.answers.behind_reserve(event.words)).meanings
    return len(behind) == 1 and isinstance(behind[0], Answer) and behind[0] != own


def _last_digit(
    event: Heard, own: Correction | Reading, grammar: StepGrammar, session: Session
) -> Heard:
    """Of a digit in the place of another the number is asked about: "it's nine, not five"."""
    new = own.meaning if isinstance(own, Correction) else own
    old = session.pending[0] if session.pending else None
    if not isinstance(new, Reading) or not isinstance(old, Reading) or new.unit is not None:
        return event
    digit = new.value == new.value.to_integral_value() and 0 <= new.value < TEN
    if not digit or not old.value % 1 or not grammar.answers.denies(event.words):
        return event
    meant = Decimal(f"{old.value}"[:-1] + f"{new.value:f}")
    return replace(event, meanings=(), guess=Correction(replace(old, value=meant)))


def _in_doubt(event: Heard) -> Heard:
    return replace(event, doubtful=True, certain=False)


def _ends_unsure(
    words: str, own: Reading, grammar: StepGrammar, setup: SessionSetup, session: Session
) -> bool:
    """Whether a number without a unit would end in a finding, and may be another by its words.

    It is only about right and near what decides, or a unit was told for another.
    """
    if own.unit is not None or judge(setup, session, own).target not in setup.procedure.findings:
        return False
    if grammar.values.is_rough(words) and _is_near(setup, session, own):
        return True
    return grammar.numbers.name_unit(words)


def _is_near(setup: SessionSetup, session: Session, own: Reading) -> bool:
    """Whether a whole number is near an end of the limit, or less than one decides."""
    limit = limit_or_none(setup, session, setup.step(session))
    unit = setup.step(session).unit
    if limit is None or unit is None or own.value % 1 or not own.value:
        return False
    ends = [end.to(unit).value for end in (limit.low, limit.high) if end is not None]
    return all(abs(end) < 1 for end in ends) or any(abs(own.value - end) < 1 for end in ends)


def _pointed(
    event: Heard, own: Reading, grammar: StepGrammar, setup: SessionSetup, session: Session
) -> Heard:
    """Two digits with the point between them, where they cannot be without: "four seven" volts.

    Amid other words, where both can be, it is asked which.
    """
    step = setup.step(session)
    if own.value not in _TWO_DIGITS or len(units_meant(setup, session, own)) > 1:
        return event
    tenth = own.value.scaleb(-1)
    either = grammar.numbers.either_way(event.words)
    told = next((each for each in either if each.value == tenth), None)
    if told is None or not _can_be(setup, session, told):
        return event
    if not _can_be(setup, session, own):
        return _in_doubt(replace(event, meanings=(told,)))
    amid = step.unit is not None and not grammar.parse_strictly(event.words).meanings
    ends = event.certain and judge(setup, session, own).target in setup.procedure.findings
    if not amid or not (event.doubtful or ends):
        return event
    return _in_doubt(replace(event, meanings=(own, told)))


def _can_be(setup: SessionSetup, session: Session, reading: Reading) -> bool:
    step = setup.step(session)
    unit = reading.unit or step.unit
    return unit is None or possible(setup, session, step, Quantity(reading.value, unit))
