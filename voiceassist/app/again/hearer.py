"""Hears a kept session again: each phrase where it was said, by the journal's own events."""

import threading
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal

from voiceassist.app import build
from voiceassist.app.again.phrases import Phrase, SessionAgain, Unheard, taken_phrase
from voiceassist.app.again.tape import Tape
from voiceassist.app.ears.base import heard_utterance
from voiceassist.app.ears.hearing import Hearing
from voiceassist.app.ears.judgement import decided_at
from voiceassist.app.live.guessing import with_guess
from voiceassist.app.live.heard_events import decided_event
from voiceassist.app.live.replay import ReplayedEvent, moments
from voiceassist.app.settings.settings import Settings
from voiceassist.devices.flac import clip_of_flac
from voiceassist.errors import VoiceAssistError
from voiceassist.language.expectation import Choice, Expectation
from voiceassist.language.step import StepGrammar
from voiceassist.procedure.meter_file import read_meter
from voiceassist.procedure.model import Procedure
from voiceassist.procedure.read import read_procedure
from voiceassist.recognise.choose import LISTENERS
from voiceassist.record import lines
from voiceassist.record.folder import METER, PROCEDURE, used_file
from voiceassist.rehearse.dial import ranges
from voiceassist.rehearse.expecting import wished
from voiceassist.rehearse.wishes import choices, read_ways
from voiceassist.session.engine import Engine
from voiceassist.session.events import Heard
from voiceassist.session.session import Detail, SessionSetup
from voiceassist.sound.resample import resampled

_WAYS, _PRACTISED = "rehearse.toml", "rehearsed.yaml"
#: Grammars that are kept at hand; a shop's jobs go through the same steps again and again.
_MOST_GRAMMARS = 500
#: Listeners of this thread: one must be used on the thread that it was made on.
_OWN = threading.local()


def heard_again(settings: Settings, tape: Tape) -> SessionAgain:
    """What the listener that ``settings`` choose makes of ``tape``."""
    kept = lines.typed(tape.lines)
    head = kept[0] if kept and isinstance(kept[0], lines.SessionLine) else lines.SessionLine({})
    found = SessionAgain(
        tape.session,
        head.procedure,
        head.at,
        head.listener,
        head.version,
        settings.listener,
        typed=sum(isinstance(line, lines.Heard) and not line.listener for line in kept),
        why_not=tape.why_not,
        notes=tuple(_notes(head, tape)),
    )
    if found.why_not:
        return found
    try:
        phrases, unheard = _gone_through(_desk(settings, head), tape, kept, head)
    except VoiceAssistError as error:
        return replace(found, why_not=str(error))
    judged = sum(one.judged_then != one.then.verdict for one in phrases)
    more = (f"this version judges what was heard then otherwise in {judged} of them",)
    return replace(found, phrases=phrases, unheard=unheard, notes=found.notes + more * bool(judged))


def _notes(head: lines.SessionLine, tape: Tape) -> Iterator[str]:
    if tape.note:
        yield f"only what is before it was heard again: {tape.note}"
    if head.listener and head.listener not in LISTENERS:
        yield f"the listener {head.listener}, which heard it then, no longer exists"


# --- at hand ---


@dataclass(frozen=True)
class _HearingDesk:
    """What is kept at hand from one session to the next: language, listener, grammars."""

    shop: build.Components
    hearing: Hearing
    grammars: dict[Expectation, StepGrammar] = field(default_factory=dict)

    def grammar(self, expectation: Expectation) -> StepGrammar:
        """That of ``expectation``."""
        if len(self.grammars) > _MOST_GRAMMARS:
            self.grammars.clear()
        if expectation not in self.grammars:
            self.grammars[expectation] = self.shop.language.compose(expectation)
        return self.grammars[expectation]


def _desk(settings: Settings, head: lines.SessionLine) -> _HearingDesk:
    """The desk of this thread for the language of the session.

    Raises:
        RecogniseError: the listener cannot start.
        ResourceError: there is no such language.
    """
    wanted = replace(settings, language=head.language or settings.language)
    kept: tuple[Settings, _HearingDesk] | None = getattr(_OWN, "desk", None)
    if kept is None or kept[0] != wanted:
        if kept is not None:
            kept[1].hearing.close()
        shop = build.Components(wanted)
        kept = _OWN.desk = (wanted, _HearingDesk(shop, shop.hearing()))
    return kept[1]


# --- one session ---


def _gone_through(
    desk: _HearingDesk, tape: Tape, kept: tuple[lines.Line, ...], head: lines.SessionLine
) -> tuple[tuple[Phrase, ...], tuple[Unheard, ...]]:
    """Every phrase that was heard, again or not.

    Raises:
        VoiceAssistError: the procedure or the meter cannot be used any more.
    """
    files = tape.files or {}
    procedure = read_procedure(files[PROCEDURE], PROCEDURE, _used(files))
    setup = _setup(desk.shop, procedure, files, head)
    engine, beside = Engine(setup), _beside(desk.shop, setup, files, head)
    judged = _verdicts(kept)
    phrases, unheard = list[Phrase](), list[Unheard]()
    for moment in moments(engine, kept):
        line = moment.line
        if not isinstance(line, lines.Heard) or not line.listener:
            continue
        why = (tape.without or {}).get(line.seq) or _astray(moment)
        if not why:
            try:
                sound = (tape.sounds or {})[line.sound]
                phrases.append(_again(desk, moment, beside, sound, judged.get(line.seq, "")))
            except VoiceAssistError as error:
                why = str(error)
        if why:
            unheard.append(Unheard(line.seq, line.step, why))
    return tuple(phrases), tuple(unheard)


def _used(files: Mapping[str, str]) -> Callable[[str], str | None]:
    return lambda name: files.get(used_file(name))


def _setup(
    shop: build.Components, procedure: Procedure, files: Mapping[str, str], head: lines.SessionLine
) -> SessionSetup:
    meter = read_meter(files[METER], METER) if METER in files else build.meter(head.meter)[0]
    risk = Decimal(head.risk_percent) if head.risk_percent else shop.settings.risk_percent
    detail = Detail(head.detail) if head.detail in {d.value for d in Detail} else Detail.NORMAL
    return SessionSetup(procedure, shop.book, detail, meter, risk / 100)


def _beside(
    shop: build.Components, setup: SessionSetup, files: Mapping[str, str], head: lines.SessionLine
) -> tuple[Choice, ...]:
    """What could be said to the vehicle of a rehearsal; nothing on a job."""
    if not head.rehearsal:
        return ()
    ways = read_ways(shop.files.get(_WAYS, ""), _WAYS)
    if _PRACTISED not in files:
        return choices(setup.procedure, ways)
    practised = read_procedure(files[_PRACTISED], _PRACTISED, _used(files))
    return choices(practised, ways, ranges(setup))


def _verdicts(kept: tuple[lines.Line, ...]) -> Mapping[int, str]:
    """The number of each line that was heard, and the verdicts that came of it then."""
    found: dict[int, list[str]] = {}
    at = 0
    for line in kept:
        if isinstance(line, lines.Heard):
            at = line.seq
        elif isinstance(line, lines.VerdictLine):
            found.setdefault(at, []).append(line.verdict)
    return {seq: ", ".join(verdicts) for seq, verdicts in found.items()}


def _astray(moment: ReplayedEvent) -> str:
    """Why it cannot be told what could be said there; empty when it can."""
    if moment.line.step == moment.before.step:
        return ""
    there = moment.before.step or "the beginning"
    return f"this version of the program would be at {there} by then"


def _again(
    desk: _HearingDesk, moment: ReplayedEvent, beside: tuple[Choice, ...], sound: bytes, judged: str
) -> Phrase:
    """The phrase of ``moment``, from its sound.

    Raises:
        DeviceError: it is no sound.
        RecogniseError: the listener cannot hear what can be said there.
    """
    line, engine, before = moment.line, moment.engine, moment.before
    assert isinstance(line, lines.Heard)
    expected = engine.listen(before).expectation
    if beside:
        expected = wished(expected, before.prompt)
    grammar = desk.grammar(replace(expected, choices=(*expected.choices, *beside)))
    clip = resampled(clip_of_flac(sound))
    desk.hearing.prepare(grammar)
    judgement = desk.hearing.hear(clip)
    setup, end_s = engine.at(before), line.end_s or 0.0
    said = heard_utterance(judgement, desk.hearing.name, clip, line.start_s or 0.0, end_s)
    decision = decided_at(judgement, setup, before)
    event = decided_event(said, decision)
    how = judgement.faithful, judgement.wordings
    event = with_guess(event, grammar, setup, before, desk.shop.guesser, *how)
    assert isinstance(moment.event, Heard)
    return Phrase(
        line.seq,
        line.step,
        taken_phrase(moment.event, moment, expected),
        taken_phrase(event, moment, expected),
        judged,
        round(clip.seconds, 3),
        round(desk.hearing.seconds, 4),
    )
