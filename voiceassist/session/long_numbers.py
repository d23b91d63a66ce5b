"""Numbers with more digits than the meter has shown so far, which are misheard more often."""

from voiceassist.language.meanings import Meaning, Reading
from voiceassist.session.session import Session

#: Hand meters count to 2000, 4000 or 6000, and few show a fifth digit. Common practice, no source.
_USUAL = 4


def is_longer_than_shown(session: Session, meaning: Meaning) -> bool:
    """Whether a reading has more digits than hand meters show, and than any reading of this job."""
    if not isinstance(meaning, Reading):
        return False
    longest = max((_digits(r.meaning) for r in session.ledger if not r.superseded), default=0)
    return _digits(meaning) > max(_USUAL, longest)


def _digits(meaning: Meaning | None) -> int:
    """How many digits are read; not the zeros that only tell the size."""
    if not isinstance(meaning, Reading):
        return 0
    _, digits, exponent = meaning.value.as_tuple()
    written = "".join(map(str, digits))
    return len(written if isinstance(exponent, int) and exponent < 0 else written.rstrip("0"))
