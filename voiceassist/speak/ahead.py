"""A voice that has the next sentences ready before they are asked for."""

import threading
from collections import OrderedDict
from collections.abc import Callable, Iterable

from voiceassist.errors import SpeakError
from voiceassist.sound.clip import Clip
from voiceassist.speak.base import Voice

#: Sentences kept: a turn has about five, a step a handful of ways out. Some 100 kB each.
_MOST = 64

#: Gives sentences on the background thread, the likeliest first.
Sentences = Callable[[], Iterable[str]]


class VoiceAhead:
    """Makes sentences ready in a thread of its own while nobody speaks.

    Args:
        voice: makes the sound; used by one thread at a time.
        most: sentences kept; the ones used longest ago are forgotten.
    """

    def __init__(self, voice: Voice, most: int = _MOST) -> None:
        self.name = voice.name
        self._voice = voice
        self._most = most
        self._kept: OrderedDict[str, Clip] = OrderedDict()
        self._speaking = threading.Lock()  # one synthesis at a time
        self._change = threading.Condition()  # guards all below
        self._wanted: Sentences | None = None
        self._wanting = 0  # changes with every order, so that an old one is left off
        self._closed = False
        self._thread: threading.Thread | None = None

    def synthesise(self, sentence: str) -> Clip:
        """The sentence as sound, at once when it is ready; as ``Voice.synthesise``."""
        with self._change:
            self._wanting += 1  # what is prepared meanwhile would only be in the way
        with self._speaking:
            return self._clip(sentence)

    def prepare(self, sentences: Sentences) -> None:
        """Make ``sentences`` ready in the background, instead of those ordered before."""
        with self._change:
            if self._closed:
                return
            self._wanted, self._wanting = sentences, self._wanting + 1
            if self._thread is None:
                self._thread = threading.Thread(target=self._work, name="voice-ahead", daemon=True)
                self._thread.start()
            self._change.notify()

    def is_ready(self, sentence: str) -> bool:
        """True when ``sentence`` would be given at once."""
        with self._change:
            return sentence in self._kept

    def adjust(self, change: str) -> None:
        """Speak "slower", "faster", "louder" or "softer" from the next sentence on."""
        with self._speaking:
            self._voice.adjust(change)
            with self._change:
                self._kept.clear()

    def cancel(self) -> None:
        """End a ``synthesise`` that runs in another thread, at once; harmless when none does."""
        self._voice.cancel()

    def close(self) -> None:
        """End the thread and the voice."""
        with self._change:
            self._closed = True
            self._wanting += 1
            self._change.notify()
        self._voice.close()
        if self._thread is not None:
            self._thread.join()

    def _clip(self, sentence: str) -> Clip:
        """From what is kept, or made and kept; the caller holds ``_speaking``."""
        with self._change:
            if sentence in self._kept:
                self._kept.move_to_end(sentence)
                return self._kept[sentence]
        clip = self._voice.synthesise(sentence)
        with self._change:
            if clip.samples:
                self._kept[sentence] = clip
            while len(self._kept) > self._most:
                self._kept.popitem(last=False)
        return clip

    def _work(self) -> None:
        while True:
            with self._change:
                self._change.wait_for(lambda: self._closed or self._wanted is not None)
                if self._closed or self._wanted is None:
                    return
                wanted, order = self._wanted, self._wanting
                self._wanted = None
            self._make(wanted, order)

    def _make(self, wanted: Sentences, order: int) -> None:
        for count, sentence in enumerate(wanted()):
            if count >= self._most or not self._still(order):
                return
            with self._speaking:
                try:
                    if self._still(order):
                        self._clip(sentence)
                except SpeakError:
                    return  # it will be told of when the sentence is wanted

    def _still(self, order: int) -> bool:
        with self._change:
            return not self._closed and self._wanting == order
