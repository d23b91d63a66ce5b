"""The one family of errors.

VoiceAssistError
├── MeasureError     a number, unit or limit that cannot be
├── LanguageError    a grammar file or phrase list that cannot be used
├── CircuitError     a circuit that cannot be, or cannot be solved
│   └── LoopError             sources or joints in a loop (``circuit/network.py``)
├── ProcedureError   a procedure file that cannot be trusted
│   └── ProcedureFaultsError  with all its faults (``procedure/faults.py``)
├── DoubtError       odds of a listener that cannot be used
├── ReasonError      probabilities that cannot be, or that nothing seen agrees with
├── SessionError     an event that cannot belong to this session
│   └── NoProcedureError      none named to begin a session by (``app/session_request.py``)
├── SoundError       samples that are not what they claim to be
├── DeviceError      a microphone, loudspeaker or sound file that is missing or broken
│   └── NoMicrophoneError     no microphone to run a session by (``app/sources.py``)
├── RecogniseError   a listener that cannot start or cannot know a word
│   └── ListenerGoneError     a listener that crashed for good
├── SpeakError       a voice that cannot start or cannot speak
├── RecordError      a journal or record that cannot be written or read
│   └── JournalInUseError     a journal that another session holds
├── ArchiveError     an archive of records that cannot be reached, read or written
│   ├── ArchiveAwayError      a server that was there and has gone away
│   └── ArchiveContentError   rows that hold what was never put there
├── WorkersError     workers that cannot be reached, or that are not as this program is
├── ResourceError    a shipped file that cannot be found
└── SettingsError    a setting with an unknown name or an unusable value

Each is one sentence: where, what was found, what would do. Misuse by a
programmer is not in the family; it raises ``TypeError`` or ``ValueError``.
"""


class VoiceAssistError(Exception):
    """A fault that a user can do something about.

    Parts:
        place: file, line or device it was seen at; empty when there is none.
        found: what was found there.
        remedy: what would do; empty when ``found`` says it all.
    """

    def __init__(self, found: str, *, place: str = "", remedy: str = "") -> None:
        super().__init__(found, place, remedy)
        self.found = found
        self.place = place
        self.remedy = remedy

    def __reduce__(self) -> tuple[object, ...]:
        """One that another process raised comes here whole, whatever it is made of."""
        return _again, (type(self), self.args, self.__dict__)

    def __str__(self) -> str:
        head = f"{self.place}: {self.found}" if self.place else self.found
        return f"{head}; {self.remedy}" if self.remedy else head


def _again(
    kind: type[VoiceAssistError], args: tuple[object, ...], parts: dict[str, object]
) -> VoiceAssistError:
    error = kind.__new__(kind, *args)
    error.args = args
    error.__dict__.update(parts)
    return error


class MeasureError(VoiceAssistError):
    """A number, unit or limit that cannot be."""


class LanguageError(VoiceAssistError):
    """A grammar file or list of sentences that cannot be used."""


class CircuitError(VoiceAssistError):
    """A circuit that cannot be, cannot be solved, or cannot be measured as asked."""


class ProcedureError(VoiceAssistError):
    """A procedure file that cannot be trusted; subclassed in ``procedure`` to carry the faults."""


class DoubtError(VoiceAssistError):
    """Odds of a listener that cannot be used."""


class ReasonError(VoiceAssistError):
    """Probabilities that cannot be, or something seen that no cause can have led to."""


class SessionError(VoiceAssistError):
    """An event or record that does not belong to this session."""


class SoundError(VoiceAssistError):
    """Samples that are not what they claim to be."""


class DeviceError(VoiceAssistError):
    """A microphone, loudspeaker or sound file that is missing or broken."""


class RecogniseError(VoiceAssistError):
    """A listener that cannot start, or a word it can never hear."""


class ListenerGoneError(RecogniseError):
    """A listener that crashed for good."""


class SpeakError(VoiceAssistError):
    """A voice that cannot start or cannot speak."""


class RecordError(VoiceAssistError):
    """A journal or record that cannot be written or read."""


class JournalInUseError(RecordError):
    """A journal that another session holds at this moment."""


class ArchiveError(VoiceAssistError):
    """An archive of records that cannot be reached, read or written."""


class ArchiveAwayError(ArchiveError):
    """An archive whose server has gone away, as one does that is restarted."""


class ArchiveContentError(ArchiveError):
    """An archive that holds what was never put there: one session's rows, not the whole of it."""


class WorkersError(VoiceAssistError):
    """Workers on other computers that cannot be reached, or are not as this program is."""


class ResourceError(VoiceAssistError):
    """A shipped grammar, procedure or sound that cannot be found."""


class SettingsError(VoiceAssistError):
    """A setting with an unknown name or an unusable value."""
