"""The ears' own thread: from the microphone to finished phrases, whatever the session does."""

import threading

from voiceassist.app.ears.base import EarState, NewsKind
from voiceassist.app.ears.inbox import Inbox, InputEnded
from voiceassist.app.ears.wiring import CapturedPhrase, Wiring
from voiceassist.devices.lasting import Happening
from voiceassist.sound.frames import FRAME_S, Framer
from voiceassist.sound.metering import LevelMeter
from voiceassist.sound.segment import UNHURRIED, Segment, Segmenter

#: After so much quiet the phrase so far is heard, so that this is done when it can be taken; its
#: sound is whole by then.
AHEAD_S = UNHURRIED.padding_s
#: After so much it is taken, when no word can follow.
EARLY_S = 0.27
#: So much speech, with one frame's gap at most, cuts the assistant short. In two minutes of each
#: kind of workshop noise as loud as a voice the detector let one blow on metal pass for it, with
#: 0.15 s as well; and after a cough we go on anyhow.
CUT_IN_S = 0.09
#: A phrase that begins so soon after another one goes on with it.
_GOES_ON_S = 1.2
_MOST_WAITING = 32
#: The same in frames.
_LOOKS = tuple(round(seconds / FRAME_S) for seconds in (AHEAD_S, EARLY_S))
_ENDING_S = 0.8

_NEWS = {
    Happening.LOST: NewsKind.LOST,
    Happening.BACK: NewsKind.BACK,
    Happening.OVERFLOW: NewsKind.OVERFLOW,
}


class Capture:
    """Runs from the moment it is made until ``close``."""

    def __init__(self, wiring: Wiring) -> None:
        self._with = wiring
        self._segmenter = Segmenter(UNHURRIED)
        self._meter = LevelMeter()
        self._inbox: Inbox[CapturedPhrase | NewsKind] = Inbox(_MOST_WAITING)
        self._lock = threading.Lock()
        self._deaf = False
        self._recent: list[bool] = []  # of the last frames: speech
        self._last_end_s = -_GOES_ON_S
        self._thread = threading.Thread(target=self._run, name="ears", daemon=True)
        self._thread.start()

    @property
    def ended(self) -> bool:
        """True when no more sound comes in."""
        return not self._thread.is_alive()

    @property
    def has_more(self) -> bool:
        """True when something waits to be taken."""
        return not self._inbox.empty

    @property
    def hears(self) -> bool:
        """True while somebody is in the middle of a phrase, or one waits to be taken."""
        return self._segmenter.in_speech or not self._inbox.empty

    def take(self, limit_s: float) -> CapturedPhrase | NewsKind | InputEnded | None:
        """The next phrase or news; None when none came in ``limit_s`` seconds."""
        return self._inbox.take(limit_s)

    def settle(self, phrase: CapturedPhrase) -> bool:
        """End the open phrase here; False when it has gone on since, or is over already."""
        with self._lock:
            so_far = self._segmenter.so_far()
            if so_far is None or so_far.clip != phrase.segment.clip:
                return False
            self._finish_with(so_far)
            self._segmenter.reset()
            return True

    def close(self) -> None:
        """End the thread, within a second even if the device hangs."""
        self._with.source.close()
        self._thread.join(_ENDING_S)
        self._with.gate.close()

    # --- on the thread ---

    def _run(self) -> None:
        try:
            self._listen()
        except Exception as error:  # handed to the session, which raises it
            self._inbox.end(error)
        else:
            self._inbox.end()

    def _listen(self) -> None:
        framer: Framer | None = None
        for event in self._with.source.events():
            if isinstance(event, Happening):
                self._interrupted(event)
                framer = None if event is Happening.BACK else framer
                continue
            framer = framer or Framer(event.rate_hz)
            for frame in framer.push(event):
                self._take(frame)
        rest = self._segmenter.finish()
        if rest is not None:
            self._give(rest)

    def _interrupted(self, event: Happening) -> None:
        """The sound does not go on where it stopped."""
        with self._lock:
            self._forget()
        self._inbox.put(_NEWS[event])

    def _take(self, frame: bytes) -> None:
        """One frame."""
        if self._with.floor.blocked():
            self._turn_deaf()
            with self._lock:
                self._with.gate.pass_frame(in_speech=False)
            self._look_for_key()
            self._segmenter.skip()
            self._report(frame, speech=False, own=True)
            return
        self._deaf = False
        speech = self._with.detector.is_speech(frame)
        self._report(frame, speech=speech, own=self._with.floor.is_speaking())
        self._look_for_cut(speech=speech)
        with self._lock:
            self._push(frame, speech=speech)
        self._look_for_key()

    def _turn_deaf(self) -> None:
        """We speak: what was said just before was not meant as an answer to it."""
        if not self._deaf:
            self._deaf = True
            with self._lock:
                self._forget()
            self._inbox.drop(lambda item: isinstance(item, CapturedPhrase))

    def _forget(self) -> None:
        if self._segmenter.in_speech:
            self._state(EarState.LISTENING)
        self._segmenter.reset()
        self._with.detector.reset()
        self._recent.clear()

    def _push(self, frame: bytes, *, speech: bool) -> None:
        gate, segmenter = self._with.gate, self._segmenter
        was_open, in_speech = gate.is_open, segmenter.in_speech
        released = gate.pass_frame(in_speech=in_speech)
        segmenter.be_patient(self._with.patience.quiet_s)
        segment = segmenter.push(frame, speech=speech and (gate.is_open or was_open))
        if segment is None and released:
            segment = segmenter.finish()
        if segment is not None:
            self._finish_with(segment)
            self._give(segment)
        elif segmenter.in_speech:
            self._go_on(begins=not in_speech)

    def _go_on(self, *, begins: bool) -> None:
        """A phrase is open."""
        segmenter = self._segmenter
        if begins:
            self._state(EarState.HEARING)
            pause_s = segmenter.begun_s - self._last_end_s
            if pause_s < _GOES_ON_S:
                self._with.patience.learn(pause_s)
        quiet = round(segmenter.quiet_s / FRAME_S)
        if quiet in _LOOKS:
            so_far = segmenter.so_far()
            assert so_far is not None
            self._give(so_far, over=False, ahead=quiet < max(_LOOKS))

    def _finish_with(self, segment: Segment) -> None:
        self._with.gate.end_phrase()
        self._with.patience.learn(segment.pause_s)
        self._last_end_s = segment.speech_end_s

    def _give(self, segment: Segment, *, over: bool = True, ahead: bool = False) -> None:
        zero_s = self._with.timeline.now_s() - self._segmenter.now_s
        start_s = max(0.0, zero_s + segment.speech_start_s)
        end_s = max(0.0, zero_s + segment.speech_end_s)
        if not self._inbox.put(CapturedPhrase(segment, start_s, end_s, over, ahead)):
            self._inbox.put(NewsKind.OVERFLOW)

    def _look_for_key(self) -> None:
        """Whoever presses the key while we speak wants us to be silent."""
        if self._with.gate.is_called:
            self._with.floor.give_way()

    def _look_for_cut(self, *, speech: bool) -> None:
        """Somebody who speaks to us while we do, for long enough, is given the floor."""
        frames = round(CUT_IN_S / FRAME_S)
        self._recent = [*self._recent, speech][-(frames + 1) :]
        to_us = self._with.cuts and self._with.gate.is_open
        if to_us and sum(self._recent) >= frames and self._with.floor.is_speaking():
            self._with.floor.cut_in()

    def _report(self, frame: bytes, *, speech: bool, own: bool) -> None:
        level = self._meter.push(frame, speech=speech, own=own)
        if level is not None and self._with.on_level is not None:
            self._with.on_level(level)

    def _state(self, state: EarState) -> None:
        if self._with.on_state is not None:
            self._with.on_state(state)
