"""What no grammar understood, but what was likely meant: it is offered before it is done."""

from voiceassist.language.meanings import Answer, Command, CommandName, Correction, Meaning, Note
from voiceassist.session.actions.enter import asked
from voiceassist.session.actions.made_ready import what_comes_first
from voiceassist.session.actions.not_heard import not_understood
from voiceassist.session.copying import replace
from voiceassist.session.events import Event, Heard
from voiceassist.session.offered import warns
from voiceassist.session.outputs import Ask, Say
from voiceassist.session.session import Session, SessionSetup, Turn
from voiceassist.session.shown import show, spoken_name
from voiceassist.session.states import State

#: So many offers in a row; then it is only said how to get help.
MOST_OFFERS = 2
#: A question of a few words waits; nobody knows it any more after another one.
_WAITING = frozenset({State.WHOSE, State.WHICH, State.CONFIRM, State.FORGOTTEN, State.PICK})
#: Where yes and no are awaited: how they are asked for once more.
_AGAIN = {
    **dict.fromkeys((State.ASK, State.OFFER, State.RETRY, State.FINISH, State.STILL), "yes_or_no"),
    **dict.fromkeys((State.CARRIED, State.FORGOTTEN), "yes_or_no"),
    State.CAUTION: "understood",
}


def offer_meaning(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Ask whether the likeliest was meant."""
    assert isinstance(event, Heard)
    assert event.guess is not None
    at = session.resume if session.state is State.MEANT and session.resume else session
    if session.offers >= MOST_OFFERS:
        back = replace(at, offers=0)
        return not_understood(setup, back, replace(event, guess=None))
    if (at.state is State.CAUTION or warns(at)) and not _may_be_affirmed(at, event.guess):
        return _told_its_word(setup, replace(at, offers=session.offers + 1), event.guess)
    if _is_plain(at, event.guess):
        text = setup.book(f"meant.{_AGAIN[at.state]}", prompt=_question(setup, at))
    else:
        text = setup.book("meant.offer", meaning=_said(setup, at, event.guess))
    ask = Ask(step=at.step, text=text)
    waiting = replace(
        at,
        state=State.MEANT,
        pending=(event.guess,),
        resume=at,
        prompt=(ask,),
        offers=session.offers + 1,
    )
    return Turn(waiting, (ask,))


def _may_be_affirmed(at: Session, guess: Meaning) -> bool:
    """Whether *affirm* can mean no other thing where a caution waits for it.

    A cry of danger is offered all the same: either way the work stops.
    """
    return _is_plain(at, guess) or guess == Command(CommandName.DANGER)


def _told_its_word(setup: SessionSetup, at: Session, guess: Meaning) -> Turn:
    """By which word to say what was likely meant: *affirm* is still for the caution alone."""
    if isinstance(guess, Note):
        guess = Command(CommandName.NOTE)
    if isinstance(guess, Command):
        word = setup.book.say(Command(guess.name))
        text = setup.book("meant.by_word", word=word, prompt=asked(at))
    elif isinstance(guess, Correction) and guess.of:
        word = setup.book.say(Command(CommandName.REVISE))
        text = setup.book("meant.by_word", word=word, prompt=asked(at))
    elif at.state is State.CAUTION and not isinstance(guess, Correction):
        text = what_comes_first(setup, at)
    else:
        text = setup.book("nothing.awaited", prompt=asked(at))
    return Turn(at, (Say(step=at.step, text=text),))


def asks_again(session: Session) -> bool:
    """Whether the question that waits was asked once more, so that yes and no answer it.

    "Did you mean negative?" could be answered with no by one who means just that.
    """
    at = session.resume
    return at is not None and bool(session.pending) and _is_plain(at, session.pending[0])


def _is_plain(at: Session, guess: Meaning) -> bool:
    return at.state in _AGAIN and guess in (Answer("affirm"), Answer("negative"))


def _question(setup: SessionSetup, at: Session) -> str:
    """What was asked, without what was to be done before."""
    question = setup.step(at).question if at.state is State.ASK else ""
    return setup.book("step.ask", text=question) if question else asked(at)


def _said(setup: SessionSetup, session: Session, meaning: Meaning) -> str:
    """What is offered, in a few words; what a command is about has none of its own."""
    replies = setup.step(session).replies
    own = (r.phrases[0] for r in replies if r.phrases and meaning == Answer(r.name))
    if answer := next(own, ""):
        return answer
    if isinstance(meaning, Note):
        return setup.book.plain("meant.note")
    if isinstance(meaning, Command):
        key = f"meant.{meaning.name}"
        own_words = key in setup.book.sentences
        return setup.book.plain(key) if own_words else setup.book.say(Command(meaning.name))
    if isinstance(meaning, Correction) and isinstance(meaning.meaning, Answer) and meaning.of:
        step = setup.procedure.step(meaning.of)
        shown = show(meaning.meaning, step, setup.book)
        return setup.book.plain("revise.at", step=spoken_name(step.name), shown=shown)
    if isinstance(meaning, Correction) and meaning.of:
        return setup.book.say(Correction(meaning.meaning))
    return setup.book.say(meaning)


def let_go(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """It was not meant: go on as before; a question that waits is asked again.

    So it is where yes or no was guessed.
    """
    said = Say(step=session.step, text=setup.book("inform.all_right"))
    back = session.at_step.keeping(session)
    answer = any(isinstance(meaning, Answer) for meaning in session.pending)
    asked = back.prompt if answer or back.state in _WAITING else ()
    return Turn(replace(back, offers=session.offers), (said, *asked))
