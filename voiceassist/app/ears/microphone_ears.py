"""The microphone as ears: phrases come from a thread of their own, and are understood here."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace

from voiceassist.app.ears.base import EarState, Elapsed, News, NewsKind, Utterance, heard_utterance
from voiceassist.app.ears.capture import Capture
from voiceassist.app.ears.echo import is_echo
from voiceassist.app.ears.hearing import Hearing, holds_speech
from voiceassist.app.ears.inbox import InputEnded
from voiceassist.app.ears.is_complete import is_settled
from voiceassist.app.ears.judgement import Judgement
from voiceassist.app.ears.push_to_talk import Gate, Key
from voiceassist.app.ears.wiring import LONGEST_QUIET_S, CapturedPhrase, Wiring
from voiceassist.app.mouth.floor import Duplex, Floor
from voiceassist.app.timeline import Timeline
from voiceassist.devices.lasting import LastingMicrophone, Recorder
from voiceassist.doubt.policy import Reject
from voiceassist.language.expectation import Expectation
from voiceassist.language.step import StepGrammar
from voiceassist.recognise.detecting import speech_detector
from voiceassist.sound.clip import Clip
from voiceassist.sound.level import Level
from voiceassist.sound.patience import Patience
from voiceassist.sound.segment import UNHURRIED, SpeechDetector

#: How often the time is looked at while nobody speaks.
_LOOK_S = 0.05
#: After our own last word the room and the device still sound.
TAIL_S = 0.3
#: A phrase that follows the name so soon belongs to it.
_CALLED_S = 3.0


@dataclass(frozen=True, slots=True)
class _HeardSoFar:
    """What was heard in a phrase so far, should it turn out to be all of it."""

    clip: Clip
    judgement: Judgement


class LiveEars:
    """Waits for speech at the microphone and hears it.

    Args:
        microphone: open already.
        hearing: hears each stretch of speech.
        timeline: the session's clock.
        floor: tells when we speak, and is told when somebody cuts in; without one we are taken
            to be silent.
        on_level: gets the microphone's level about ten times a second, on another thread.
        on_state: gets what the ears do, on this thread or another.
        last_said: what was said last, in words, and the second of the session it ended at.
        detector: tells speech; the best there is, if None.
        tell: gets one sentence when that is not the one it should be.
        key: push to talk: only what is said after a press counts.
        name: only what is said after this name counts.
        patience: how long a phrase is waited for.
        asked: somebody else has something to say, at the next pause: waiting ends then.
    """

    def __init__(
        self,
        microphone: Recorder,
        hearing: Hearing,
        timeline: Timeline,
        *,
        floor: Floor | None = None,
        on_level: Callable[[Level], None] | None = None,
        on_state: Callable[[EarState], None] | None = None,
        last_said: Callable[[], tuple[str, float]] | None = None,
        detector: SpeechDetector | None = None,
        tell: Callable[[str], None] = lambda _: None,
        key: Key | None = None,
        name: str = "",
        patience: Patience | None = None,
        asked: Callable[[], bool] = lambda: False,
    ) -> None:
        self._hearing = hearing
        self._asked = asked
        self._timeline = timeline
        self._on_state = on_state
        self._last_said = last_said
        self._name = name
        self._called: dict[Expectation, StepGrammar] = {}
        self._coming: Iterator[StepGrammar] = iter(())
        self._next_one: StepGrammar | None = None
        self._known: _HeardSoFar | None = None
        self._name_said: CapturedPhrase | None = None
        self._capture = Capture(
            Wiring(
                source=LastingMicrophone(microphone),
                detector=detector or speech_detector(tell),
                timeline=timeline,
                floor=floor or Floor(Duplex.HALF, TAIL_S, timeline.now_s),
                gate=Gate(key),
                cuts=not name,
                on_level=on_level,
                on_state=on_state,
                patience=patience or Patience(UNHURRIED.quiet_s, LONGEST_QUIET_S),
            )
        )

    def expect(self, grammars: Iterable[StepGrammar]) -> None:
        """Get ready for these, a little at a time, while we listen and nobody speaks."""
        self._coming = iter(grammars)

    def listen(
        self, grammar: StepGrammar, until_s: float | None = None
    ) -> Utterance | Elapsed | News | None:
        """The next thing said to us; noises that hold no speech are passed over."""
        grammar = self._with_name(grammar)
        self._hearing.prepare(grammar)
        self._next_one = grammar  # what it needs besides comes before what comes later
        self._known = None
        self._state(EarState.LISTENING)
        try:
            return self._next(grammar, until_s)
        finally:
            self._state(EarState.IDLE)

    def close(self) -> None:
        """Let go of the microphone, and end the listeners."""
        self._capture.close()
        self._hearing.close()

    def _next(
        self, grammar: StepGrammar, until_s: float | None
    ) -> Utterance | Elapsed | News | None:
        while True:
            item = self._capture.take(_LOOK_S)
            if isinstance(item, NewsKind):
                return News(item)
            if isinstance(item, InputEnded):
                if item.error is not None:
                    raise item.error
                return None
            answer = self._answer(item, grammar) if item is not None else None
            if answer is not None:
                return answer
            if self._is_over(until_s):
                return Elapsed()
            if item is None and not self._capture.hears:
                self._get_ready()

    def _get_ready(self) -> None:
        """A little of it, so that who begins to speak meanwhile is not kept waiting."""
        if self._next_one is None:
            coming = next(self._coming, None)
            self._next_one = self._with_name(coming) if coming is not None else None
        if self._next_one is not None and not self._hearing.expect(self._next_one):
            self._next_one = None

    def _is_over(self, until_s: float | None) -> bool:
        """True when the time is over and nobody is in the middle of a phrase.

        Noise without end is no phrase: what is waited for comes in spite of it.
        """
        if self._asked() and not self._capture.hears:
            return True
        late_s = self._timeline.now_s() - until_s if until_s is not None else -1.0
        return late_s >= 0 and (not self._capture.hears or late_s > UNHURRIED.longest_s)

    # --- one phrase ---

    def _answer(self, phrase: CapturedPhrase, grammar: StepGrammar) -> Utterance | News | None:
        """What a phrase comes to; None when it is not over, or nothing was said to us.

        While it is only quiet for a moment it is heard all the same, and soon after taken at once
        when no word can follow; else what was heard is kept for later.
        """
        if phrase.over:
            self._state(EarState.THINKING)
        elif self._capture.has_more:  # it went on meanwhile, or is over
            return None
        whole = self._after_name(phrase)
        judgement = self._judged(whole.segment.clip)
        if phrase.ahead:
            return None
        if not (phrase.over or self._ended_early(phrase, judgement, grammar)):
            return None
        answer = self._taken(whole, judgement, grammar)
        if answer is None:
            self._state(EarState.LISTENING)
        return answer

    def _ended_early(
        self, phrase: CapturedPhrase, judgement: Judgement, grammar: StepGrammar
    ) -> bool:
        return is_settled(judgement, grammar) and self._capture.settle(phrase)

    def _judged(self, clip: Clip) -> Judgement:
        """What was said in ``clip``; known already when it was heard early."""
        if self._known is None or self._known.clip != clip:
            self._known = _HeardSoFar(clip, self._hearing.hear(clip))
        return self._known.judgement

    def _taken(
        self, phrase: CapturedPhrase, judgement: Judgement, grammar: StepGrammar
    ) -> Utterance | News | None:
        if self._name and judgement.words == self._name:
            self._name_said = phrase
            return None
        self._name_said = None
        unsure = isinstance(judgement.decided(repr), Reject)
        if phrase.segment.cut and unsure:
            return News(NewsKind.NOISY)
        if not holds_speech(judgement) or (self._name and unsure):
            return None
        if self._is_echo(phrase, judgement, grammar):
            return None
        said = heard_utterance(
            judgement,
            self._hearing.name,
            phrase.segment.clip,
            phrase.start_s,
            phrase.end_s,
            phrase.segment.speech_start_s - phrase.segment.start_s,
        )
        taken_s = self._timeline.now_s() - phrase.end_s
        seconds = self._hearing.seconds
        return replace(said, taken_s=taken_s, hearing_s=seconds, early=not phrase.over)

    def _is_echo(self, phrase: CapturedPhrase, judgement: Judgement, grammar: StepGrammar) -> bool:
        if self._last_said is None:
            return False
        said, ended_s = self._last_said()
        words = grammar.parser.in_words(said)
        return is_echo(judgement.words, words, phrase.start_s - ended_s)

    # --- the name ---

    def _with_name(self, grammar: StepGrammar) -> StepGrammar:
        if not self._name:
            return grammar
        if grammar.expectation not in self._called:
            self._called[grammar.expectation] = grammar.called(self._name)
        return self._called[grammar.expectation]

    def _after_name(self, phrase: CapturedPhrase) -> CapturedPhrase:
        """The phrase behind the name that was said just before, when it was."""
        named = self._name_said
        if named is None or phrase.segment.speech_start_s - named.segment.speech_end_s > _CALLED_S:
            return phrase
        return phrase.behind(named)

    def _state(self, state: EarState) -> None:
        if self._on_state is not None:
            self._on_state(state)
