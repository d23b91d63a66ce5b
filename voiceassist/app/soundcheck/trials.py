"""Trial phrases: asked for, waited for, measured and heard."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

from voiceassist.app.ears.hearing import Hearing
from voiceassist.app.ears.judgement import Judgement
from voiceassist.app.soundcheck.lines import LevelLine, PhraseLine, SayLine, SoundLine, rounded
from voiceassist.devices.base import Player, SoundSource
from voiceassist.doubt.policy import Accept, Reject
from voiceassist.doubt.same import settled
from voiceassist.errors import DeviceError
from voiceassist.language.meanings import Meaning
from voiceassist.language.step import StepGrammar
from voiceassist.sound.advice import Trial
from voiceassist.sound.clip import BYTES_PER_SAMPLE, Clip
from voiceassist.sound.frames import Framer
from voiceassist.sound.level import level_of
from voiceassist.sound.segment import UNHURRIED, Segment, Segmenter, SpeechDetector
from voiceassist.sound.soundcheck import voice_in
from voiceassist.speak.base import Voice

#: Devices and rooms still sound after our last word.
TAIL_S = 0.4
#: The longest that is waited for a phrase to begin; a second time it is asked for, no third.
_PATIENCE_S = 8.0
_ASKED = 2
_LEVEL_EVERY_S = 0.5


class TrialMicrophone(SoundSource, Protocol):
    """An open microphone."""

    rate_hz: int

    def discard(self) -> None:
        """Forget the sound that waits."""
        ...


class Speaker:
    """A loudspeaker that the check goes on without when it fails.

    Args:
        player: the device; None for none.
        warn: gets one sentence when it fails.
    """

    def __init__(self, player: Player | None, warn: Callable[[str], None]) -> None:
        self._player = player
        self._warn = warn
        self.failed = False

    @property
    def works(self) -> bool:
        """True while there is one."""
        return self._player is not None

    def play(self, clip: Clip) -> None:
        """Play ``clip`` to its end, if it can be played."""
        if self._player is None:
            return
        try:
            self._player.play(clip)
        except DeviceError as error:
            self._player, self.failed = None, True
            self._warn(f"{error}. The check goes on without it.")


@dataclass(frozen=True, slots=True)
class Kit:
    """What a check is done with.

    Parts:
        microphone: open.
        speaker: the loudspeaker.
        voice: asks for the phrases; None to ask on the screen only.
        to_words: turns a text into what the voice reads.
        hearing: hears the phrases.
        detector: tells speech from quiet.
        show: gets each line.
    """

    microphone: TrialMicrophone
    speaker: Speaker
    voice: Voice | None
    to_words: Callable[[str], str]
    hearing: Hearing
    detector: SpeechDetector
    show: Callable[[SoundLine], None]


@dataclass(frozen=True, slots=True)
class TrialPhrase:
    """A phrase to try: its words, what they mean, and what else could be said there."""

    words: str
    meaning: Meaning
    grammar: StepGrammar


@dataclass(frozen=True, slots=True)
class _Caught:
    """A stretch of speech for the listener, and the same at the microphone's own rate."""

    segment: Segment
    sound: Clip


def tell(kit: Kit, text: str, tail_s: float = TAIL_S) -> None:
    """Say and show ``text``, then let the room become quiet for ``tail_s`` seconds.

    Raises:
        DeviceError: the microphone went away.
        SpeakError: the voice failed.
    """
    kit.show(SayLine(text))
    if kit.voice is not None and kit.speaker.works:
        kit.speaker.play(kit.voice.synthesise(kit.to_words(text)))
    recorded(kit.microphone, tail_s)


def recorded(microphone: TrialMicrophone, seconds: float) -> Clip:
    """The next ``seconds`` of sound.

    Raises:
        DeviceError: the microphone went away.
    """
    microphone.discard()
    kept = bytearray()
    for chunk in microphone.chunks():
        kept += chunk.pcm
        if len(kept) >= seconds * microphone.rate_hz * BYTES_PER_SAMPLE:
            break
    return Clip(bytes(kept), microphone.rate_hz)


def tried(kit: Kit, wanted: TrialPhrase, noise_dbfs: float, tail_s: float) -> Trial:
    """Ask for a phrase, again when nothing is heard, and hear it.

    Args:
        kit: open devices.
        wanted: the phrase.
        noise_dbfs: of the room.
        tail_s: how long our own voice may still come in at the microphone, in seconds.

    Raises:
        DeviceError: a device went away.
        RecogniseError: the listener came to an end.
    """
    kit.hearing.prepare(wanted.grammar)
    for asked in range(_ASKED):
        tell(kit, f"{'I heard nothing. ' if asked else ''}Please say: {wanted.words}.", tail_s)
        caught = _caught(kit)
        if caught is not None:
            return _heard(kit, wanted, caught, noise_dbfs)
    nothing = Trial(wanted.words, "", understood=False, phrase=None)
    kit.show(PhraseLine.of(nothing))
    return nothing


def likeliest(judgement: Judgement) -> tuple[str, tuple[Meaning, ...]]:
    """What was most likely said and meant, were it to be asked about or not.

    Nothing is meant by what would be let pass.
    """
    decision = judgement.decided(repr)
    if isinstance(decision, Reject):
        return judgement.words, ()
    key = decision.key if isinstance(decision, Accept) else decision.keys[0]
    return judgement.words_for(key), settled(key, judgement.expectation)


def part_of(clip: Clip, start_s: float, end_s: float) -> Clip:
    """``clip`` from one second of it to another."""
    start, end = (max(0, round(at * clip.rate_hz)) * BYTES_PER_SAMPLE for at in (start_s, end_s))
    return Clip(clip.pcm[start:end], clip.rate_hz)


def _heard(kit: Kit, wanted: TrialPhrase, caught: _Caught, noise_dbfs: float) -> Trial:
    judgement = kit.hearing.hear(caught.segment.clip)
    words, key = likeliest(judgement)
    understood = key == settled((wanted.meaning,), judgement.expectation)
    trial = Trial(wanted.words, words, understood, voice_in(caught.sound, noise_dbfs))
    kit.show(PhraseLine.of(trial, judgement))
    return trial


def _caught(kit: Kit) -> _Caught | None:
    """The next phrase; None when nobody begins one in time. Its level is shown meanwhile."""
    rate_hz = kit.microphone.rate_hz
    kit.microphone.discard()
    kit.detector.reset()
    framer, segmenter = Framer(rate_hz), Segmenter(UNHURRIED)
    kept, told_s = bytearray(), 0.0
    for chunk in kit.microphone.chunks():
        kept += chunk.pcm
        for frame in framer.push(chunk):
            segment = segmenter.push(frame, speech=kit.detector.is_speech(frame))
            if segment is not None:
                sound = part_of(Clip(bytes(kept), rate_hz), segment.start_s, segment.end_s)
                return _Caught(segment, sound)
        now_s = len(kept) / (rate_hz * BYTES_PER_SAMPLE)
        if now_s - told_s >= _LEVEL_EVERY_S:
            since = part_of(Clip(bytes(kept), rate_hz), told_s, now_s)
            kit.show(LevelLine(rounded(level_of(since).rms_dbfs)))
            told_s = now_s
        if now_s >= _PATIENCE_S and not segmenter.in_speech:
            return None
    return None
