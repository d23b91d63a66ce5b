"""Whether the record is on the disk, and what there is to tell when that changes."""

from enum import Enum

from voiceassist.record.lines import Record


class RecordNews(Enum):
    """What can happen to the record; also the keys of the sentences that tell of it."""

    WAITING = "waiting"  # the disk refuses lines
    WRITTEN = "written"  # it has taken them all
    SOUND_WAITING = "sound-waiting"  # lines are written, but sound is refused
    SOUND_WRITTEN = "sound-written"


class RecordWatch:
    """Tells of each trouble once, and once more when it is over."""

    def __init__(self) -> None:
        self._lines_wait = False
        self._sound_waits = False

    def news(self, lines: str, sound: str) -> list[Record]:
        """Journal lines, to be spoken of, about what has changed since the last call.

        Args:
            lines, sound: why the disk refuses lines or sound; empty when it does not.
        """
        told: list[Record] = []
        if bool(lines) != self._lines_wait:
            self._lines_wait = bool(lines)
            told.append(_line(RecordNews.WAITING if lines else RecordNews.WRITTEN, lines))
        if not lines and bool(sound) != self._sound_waits:  # the greater trouble says enough
            self._sound_waits = bool(sound)
            kind = RecordNews.SOUND_WAITING if sound else RecordNews.SOUND_WRITTEN
            told.append(_line(kind, sound))
        return told


def _line(kind: RecordNews, found: str) -> Record:
    return Record.made(state=kind.value, found=found)
