"""One of several that were asked about, told by a part of its name, by its unit, or twice."""

from voiceassist.app.live.as_told import as_told
from voiceassist.language.meanings import Answer, Meaning, Reading
from voiceassist.language.step import StepGrammar
from voiceassist.session.actions.confirm import same_value
from voiceassist.session.events import Heard
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.states import State


def of_those_asked(
    event: Heard, grammar: StepGrammar, setup: SessionSetup, session: Session
) -> Heard:
    """``event``; as the one of those asked about that it tells."""
    told: Meaning | None = None
    if session.state is State.PICK and not event.meanings:
        told = _named(event.words, grammar)
    elif session.state is State.WHICH and not event.doubtful:
        told = _with_its_unit(event.words, grammar, session) or _twice(
            event.words, grammar, setup, session
        )
    if told is None:
        return event
    return as_told(event, told)


def _named(words: str, grammar: StepGrammar) -> Answer | None:
    """The one all of whose words are said, the longest; none where two are as long.

    "Without fuse two" is "without two".
    """
    said = set(grammar.parser.in_words(words).replace(",", " ").split())
    if grammar.answers.denies(words) or grammar.manner.asks(words):
        return None
    sizes = {
        choice.name: max(len(way.split()) for way in choice.phrases if set(way.split()) <= said)
        for choice in grammar.expectation.choices
        if any(set(way.split()) <= said for way in choice.phrases)
    }
    longest = [name for name, size in sizes.items() if size == max(sizes.values())]
    return Answer(longest[0]) if len(longest) == 1 else None


def _with_its_unit(words: str, grammar: StepGrammar, session: Session) -> Reading | None:
    """The number that waits in the unit that is said alone: "millivolts"."""
    first = session.pending[0]
    if not isinstance(first, Reading) or grammar.numbers.told_in(words):
        return None
    found = grammar.parse_strictly(f"{first.value:f} {words}").meanings
    own = [one for one in found if isinstance(one, Reading) and one in session.pending]
    return own[0] if len(own) == 1 else None


def _twice(
    words: str, grammar: StepGrammar, setup: SessionSetup, session: Session
) -> Reading | None:
    """The value that is said before a comma, and behind it in another unit."""
    parts = [grammar.parse(part).meanings for part in words.split(",")]
    told = [each[0] for each in parts if len(each) == 1 and isinstance(each[0], Reading)]
    if len(told) != len(parts) or len(told) == 1:
        return None
    alike = all(same_value(setup, session.at_step, told[0], other) for other in told)
    return told[0] if alike else None
