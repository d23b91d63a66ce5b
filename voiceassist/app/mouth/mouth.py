"""Speaks what the session gives out, and knows how much of it was heard."""

import threading
from collections.abc import Callable, Iterable, Sequence

from voiceassist.app.mouth.floor import Duplex, Floor
from voiceassist.app.mouth.spoken_turn import PAUSE_S, Cut, Spoken, SpokenTurn, voiced
from voiceassist.app.timeline import Timeline
from voiceassist.devices.base import Player
from voiceassist.errors import DeviceError, SpeakError
from voiceassist.sound.clip import Clip
from voiceassist.sound.tones import Tone, tone
from voiceassist.speak.ahead import VoiceAhead
from voiceassist.speak.base import Voice
from voiceassist.speak.pieces import pieces

#: A voice that goes on failing is tried again after so long.
_AGAIN_S = 60.0


class Mouth:
    """Turns sentences into sound and plays them.

    Args:
        voice: makes the sound; None for text only.
        to_words: turns figures and units in a text into words.
        player: plays it; None when no loudspeaker is wanted.
        timeline: passes by the length of what is spoken.
        warn: told, in one sentence, when voice or loudspeaker fail; text goes on.
        floor: told while something is played; one of its own when none is given.
        tones: whether the short tones are played.
        keep: whether all that is spoken is kept in ``spoken``, which takes memory.
    """

    def __init__(
        self,
        voice: Voice | None,
        to_words: Callable[[str], str],
        player: Player | None,
        timeline: Timeline,
        warn: Callable[[str], None],
        *,
        floor: Floor | None = None,
        tones: bool = False,
        keep: bool = True,
    ) -> None:
        self._voice = voice
        self._to_words = to_words
        self._player = player
        self._timeline = timeline
        self._warn = warn
        self._floor = floor or Floor(Duplex.HALF, 0.0, timeline.now_s)
        self._tones = tones
        self._keep = keep
        self._playing = threading.Lock()
        self._told: dict[str, str] = {}  # by part: the fault that was told of, while it lasts
        self._fails = False  # the voice, in this turn
        self._again_s = 0.0  # second of the session at which it is tried again
        self._in_text = False
        self._last: list[Spoken] = []
        self._ended_s = 0.0
        self.spoken: list[Spoken] = []

    def prepare(self, texts: Sequence[str]) -> list[Spoken | None]:
        """Synthesise ``texts``, to be spoken in turn from now on; None for the silent ones.

        A voice that fails is tried again with the next turn: perhaps the machine was only busy.
        Failing on, it is tried once a minute, since each turn would wait for one that hangs.
        """
        prepared: list[Spoken | None] = []
        at_s = self._timeline.now_s()
        self._fails = at_s < self._again_s
        for text in texts:
            sentence = self._sentence(text, at_s) if text else None
            prepared.append(sentence)
            at_s = sentence.end_s + PAUSE_S if sentence is not None else at_s
        return prepared

    def speak(
        self,
        prepared: Sequence[Spoken | None],
        *,
        first: Tone | None = None,
        last: Tone | None = None,
    ) -> Cut | None:
        """Play what was prepared, as one clip: opening a device anew for each would drag.

        Args:
            prepared: by ``prepare``, just before.
            first, last: tones before and after it.

        Returns:
            What was not heard when it was cut short, or the loudspeaker went away in mid-turn;
            None when all was.
        """
        turn = SpokenTurn(prepared)
        self._add_tone(turn, first)
        for index, sentence in enumerate(prepared):
            if sentence is not None:
                turn.add(index, sentence)
        self._add_tone(turn, last)
        if turn.clip is None:
            return None
        heard_s = self._play(turn.clip)
        self._timeline.advance(heard_s + PAUSE_S)
        self._last, self._ended_s = turn.heard(heard_s), self._timeline.now_s()
        self.spoken += self._last if self._keep else ()
        return turn.cut(heard_s)

    def sound(self, kind: Tone) -> None:
        """Play one tone by itself, unless something is played already; from any thread."""
        if self._tones and self._player is not None and self._playing.acquire(blocking=False):
            try:
                self._played(tone(kind))
            finally:
                self._playing.release()

    def expect(self, texts: Callable[[], Iterable[str]]) -> None:
        """Have ``texts``, which are likely next, ready; they are made on another thread."""
        if isinstance(self._voice, VoiceAhead):
            self._voice.prepare(
                lambda: (self._to_words(piece) for text in texts() for piece in pieces(text))
            )

    def by_turns(self) -> bool:
        """Let nobody cut in from now on; False when nobody could."""
        could, self._floor.duplex = self._floor.duplex is Duplex.FULL, Duplex.HALF
        return could

    def last_said(self) -> tuple[str, float]:
        """What was said last, in words, and the second of the session it ended at."""
        return self._to_words(" ".join(s.text for s in self._last)), self._ended_s

    def adjust(self, change: str) -> None:
        """Speak "slower", "faster", "louder" or "softer" from now on."""
        if self._voice is not None:
            self._voice.adjust(change)

    # --- making ---

    def _sentence(self, text: str, at_s: float) -> Spoken | None:
        """A text piece by piece, so that it is known how far it was heard."""
        sound: Clip | None = None
        ends: list[tuple[int, float]] = []
        letters = 0
        for piece in pieces(text):
            clip = self._synthesise(piece)
            if clip is None:
                return None
            letters = text.find(piece, letters) + len(piece)
            sound = clip if sound is None else sound + clip
            ends.append((letters, voiced(sound).seconds))
        if sound is None or not sound.samples:
            return None
        return Spoken(text, voiced(sound), at_s, tuple(ends))

    def _synthesise(self, text: str) -> Clip | None:
        if self._voice is None or self._fails:
            return None
        try:
            clip = self._voice.synthesise(self._to_words(text))
        except SpeakError as error:
            self._fails = True
            if "voice" in self._told:  # the last time too
                self._again_s = self._timeline.now_s() + _AGAIN_S
            self._tell("voice", str(error))
            return None
        self._told.pop("voice", None)
        return clip

    def _add_tone(self, turn: SpokenTurn, kind: Tone | None) -> None:
        if kind is not None and self._tones and self._player is not None:
            turn.add_tone(kind)

    # --- playing ---

    def _play(self, clip: Clip) -> float:
        """Play ``clip``, a tone that sounds cut short for it; how much was heard, in seconds.

        When the loudspeaker goes away in the midst of it nobody knows, so nothing was. What is
        said after that, while it is away, stands in the text and counts.
        """
        if self._player is None:
            return clip.seconds
        if not self._playing.acquire(blocking=False):
            self._player.stop()
            self._playing.acquire()
        try:
            heard_s = self._played(clip)
        finally:
            self._playing.release()
        in_text, self._in_text = self._in_text, heard_s is None
        if heard_s is None:
            return clip.seconds if in_text else 0.0
        return heard_s

    def _played(self, clip: Clip) -> float | None:
        """How much of it was heard, in seconds; None when there is no loudspeaker any more."""
        assert self._player is not None
        try:
            with self._floor.speaking(self._player.stop):
                heard_s = self._player.play(clip)
        except DeviceError as error:
            self._tell("loudspeaker", str(error))
            return None
        self._told.pop("loudspeaker", None)
        return heard_s

    def _tell(self, part: str, fault: str) -> None:
        """Told once; every turn tries again, since a headset may be plugged in again."""
        if fault != self._told.get(part):
            self._told[part] = fault
            self._warn(f"{fault}. The session goes on in text.")
