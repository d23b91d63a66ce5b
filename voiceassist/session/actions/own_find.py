"""A cause that the technician found himself: it is noted, and the proof is offered."""

from collections.abc import Callable, Mapping

from voiceassist.language.meanings import Answer, Command, CommandName
from voiceassist.language.told_phrases import is_told
from voiceassist.session.actions.closing_up import changes_to_rest
from voiceassist.session.actions.enter import asked
from voiceassist.session.actions.finding import prove
from voiceassist.session.actions.work import repair_done, work_done
from voiceassist.session.copying import replace
from voiceassist.session.events import Event, Heard, about_of
from voiceassist.session.naming import IN_STATE
from voiceassist.session.outputs import Ask, ConditionChange, NoteTaken
from voiceassist.session.own_find import proof_for, proof_of
from voiceassist.session.session import Session, SessionSetup, Stage, Turn
from voiceassist.session.states import AT_A_STEP, State
from voiceassist.session.work_told import small_words, work_at
from voiceassist.session.work_words import left_by

#: What its command is about: it is mended already; the proof of it, and the words it was told in;
#: the work of the repair that is under way, done as told, or by his words not all of it.
MENDED, PROVE, WORK, UNDONE = "mended", f"prove{IN_STATE}", "work", "undone"
#: And work that is told as done by its own words; or that cannot be done before the part is there.
TOLD, NO_PART = "told", "no-part"
#: In so many words more is told than that it is done.
_MORE = 5


def found(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The cause was found by the technician, who may have mended it as well."""
    assert isinstance(event, Heard)
    about = about_of(event)
    if about.startswith(PROVE):
        return _to_its_proof(setup, session, about.removeprefix(PROVE))
    if of_work := _OF_WORK.get(about):
        return of_work(setup, session, event)
    mended, proofs = about == MENDED, _proofs(setup, session, event.words)
    if not proofs or (session.finding and not mended):
        return _noted(setup, session, event)
    noted = _note(setup, session, event, setup.book("note.taken"))
    if session.finding:
        session, noted = _with_work(session, event), replace(noted, of_work=True)
    back = _put_back(setup, session, proofs)
    if session.finding and not back:
        return Turn(session, (noted,)).then(_to_its_proof(setup, session, event.words))
    key = "own.proof" if mended else "own.put_right"
    ask = Ask(step=session.step, text=setup.book(key))
    pending = Command(CommandName.FOUND, about=f"{PROVE}{event.words}")
    waiting = replace(
        session, state=State.MEANT, pending=(pending,), resume=session, prompt=(*back, ask)
    )
    return Turn(waiting, (noted, *back, ask))


def _proofs(setup: SessionSetup, session: Session, words: str) -> tuple[str, ...]:
    """What would prove it from here; nothing where a question, or a caution, waits."""
    if session.finding:
        told = session.state in {State.OFFER, State.RETRY} or session.stage is Stage.REPAIR
        return proof_of(setup, session) if told and not session.suspected else ()
    at_step = session.state in AT_A_STEP - {State.CAUTION, State.CARRIED, State.WAIT}
    free = session.stage is Stage.DIAGNOSE and at_step and not session.correcting
    return proof_for(setup.procedure, words) if free else ()


def _work_noted(setup: SessionSetup, session: Session, heard: Heard) -> Turn:
    again = "" if session.stage is Stage.REPAIR else asked(session)
    text = f"{setup.book('note.taken')} {again}".rstrip()
    work = work_at(setup, session)
    if work and is_told(setup.book.plain("work.ok_words"), heard.words):
        text = setup.book("work.own_way", work=work)
    note = replace(_note(setup, session, heard, text), of_work=True)
    return Turn(_with_work(session, heard), (note,))


def _done_as_told(setup: SessionSetup, session: Session, heard: Heard) -> Turn:
    """Work told by its own words: done, but for the parts of it that are not named."""
    done = Answer("done")
    whole = setup.book.say(done) in heard.words.lower().replace(",", " ").split()
    left = () if whole else _left(setup, session, heard)
    more = len(heard.words.split()) >= _MORE or bool(left)
    text = setup.book("note.taken")
    if left:
        text = setup.book("work.left", parts=setup.book.join("list.and", left))
    noted = replace(_note(setup, session, heard, text), of_work=True)
    told = Turn(_with_work(session, heard), (noted,)) if more else Turn(session)
    if left:
        return told
    event = replace(heard, meanings=(done,), words=setup.book.say(done))
    act = repair_done if session.state is State.OFFER else work_done
    return told.then(act(setup, told.session, event))


def _left(setup: SessionSetup, session: Session, heard: Heard) -> tuple[str, ...]:
    return left_by(work_at(setup, session), heard.words, small_words(setup.book)) or ()


def _with_work(session: Session, heard: Heard) -> Session:
    """``session`` with what was told of the work, in his words."""
    told = (session.finding, heard.words, about_of(heard) == UNDONE)
    return replace(session, work_told=(*session.work_told, told))


def _noted(setup: SessionSetup, session: Session, heard: Heard) -> Turn:
    text = f"{setup.book('note.taken')} {asked(session)}".rstrip()
    return Turn(session, (_note(setup, session, heard, text),))


def _note(setup: SessionSetup, session: Session, event: Heard, text: str) -> NoteTaken:
    return NoteTaken(step=session.step, text=text, words=event.words, verified=event.certain)


def _put_back(
    setup: SessionSetup, session: Session, proofs: tuple[str, ...]
) -> tuple[ConditionChange, ...]:
    """What the repair would have put back, and no step of the proof asks for."""
    steps = setup.procedure.steps
    needed = {need.condition for name in proofs for need in steps[name].needs}
    return tuple(c for c in changes_to_rest(setup, session) if c.name not in needed)


def _to_its_proof(setup: SessionSetup, session: Session, words: str) -> Turn:
    """The proof, with what was asked for before it; the steps of a repair are left out."""
    proofs = _proofs(setup, session, words)
    made = tuple(replace(c, text="", met=True) for c in _put_back(setup, session, proofs))
    put_back = session.settled.with_conditions(tuple((c.name, c.state) for c in made))
    own = replace(put_back, own=words, own_proof=() if session.finding else proofs)
    return Turn(own, made).then(prove(setup, own))


def _part_missing(setup: SessionSetup, session: Session, heard: Heard) -> Turn:
    return Turn(session, (_note(setup, session, heard, setup.book("work.no_part")),))


#: What follows from what is told of the work in hand.
_OF_WORK: Mapping[str, Callable[[SessionSetup, Session, Heard], Turn]] = {
    WORK: _work_noted,
    UNDONE: _work_noted,
    TOLD: _done_as_told,
    NO_PART: _part_missing,
}
