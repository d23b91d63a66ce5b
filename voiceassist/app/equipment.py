"""What a session speaks and hears with."""

import time
from collections.abc import Callable
from contextlib import ExitStack, closing
from dataclasses import dataclass
from pathlib import Path

from voiceassist.app import sources
from voiceassist.app.build import Components
from voiceassist.app.ears.base import Ears
from voiceassist.app.mouth.floor import Duplex, Floor
from voiceassist.app.mouth.mouth import Mouth
from voiceassist.app.session_request import SessionRequest
from voiceassist.app.timeline import RealTimeline, SoundTimeline, Timeline
from voiceassist.app.warn import Warn


@dataclass(frozen=True, slots=True)
class Station:
    """What several sessions one after the other share.

    Parts:
        timeline: their clock.
        mouth: speaks, or shows alone.
        ears: hear, or read what is typed.
        speaks: the mouth has a voice.
    """

    timeline: Timeline
    mouth: Mouth
    ears: Ears
    speaks: bool


class Equipment:
    """Voice and loudspeaker, opened; not before all else is well, for they may warn.

    Args:
        request: tells which are wanted.
        shop: makes them.
        warn: told in one sentence what cannot be had.
        waits: somebody else has something to say at the next pause.
        held: closes them all at the end.
    """

    def __init__(
        self,
        request: SessionRequest,
        shop: Components,
        warn: Warn,
        waits: Callable[[], bool],
        held: ExitStack,
    ) -> None:
        self._request, self._shop, self._warn = request, shop, warn
        self._waits, self._held = waits, held
        voiced = not request.silent
        self._voice = sources.voice(shop, warn, ahead=request.live) if voiced else None
        aloud = self._voice is not None and (not request.audio or request.aloud)
        self._player = sources.player(shop, warn) if aloud else None
        for device in (self._voice, self._player):
            if device is not None:
                held.enter_context(closing(device))

    def timeline(self, start_s: float = 0.0) -> Timeline:
        """The clock of a session of which so much has passed."""
        if not self._request.audio or self._player is not None:
            return RealTimeline(start_s)
        return SoundTimeline(start_s, paced=self._request.aloud)

    def station(self, timeline: Timeline) -> Station:
        """Mouth and ears; they share the floor, so that we do not answer ourselves."""
        settings = self._shop.settings
        floor = Floor(Duplex(settings.duplex), float(settings.tail_s), time.monotonic)
        mouth = Mouth(
            self._voice,
            self._shop.to_words,
            self._player,
            timeline,
            self._warn,
            floor=floor,
            tones=self._request.live and settings.tones == "on",
            keep=bool(self._request.voice_out or self._request.demo),
        )
        ears = self._held.enter_context(closing(self._ears(timeline, floor, mouth)))
        return Station(timeline, mouth, ears, self._voice is not None)

    def _ears(self, timeline: Timeline, floor: Floor, mouth: Mouth) -> Ears:
        typed, view = self._request.typed, self._request.view
        if typed is not None:
            return sources.typed_ears(typed, timeline, view, self._waits)
        if self._request.audio:
            files = [Path(file) for file in self._request.audio]
            return sources.file_ears(self._shop, files, timeline, self._player, self._warn)
        context = sources.LiveContext(timeline, floor, mouth, view, self._warn, self._waits)
        return sources.live_ears(self._shop, context)
