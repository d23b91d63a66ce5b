"""Which phrases deserve a second look."""

from collections.abc import Sequence
from itertools import zip_longest

from voiceassist.doubt.evidence import Evidence, Key, Sound
from voiceassist.doubt.same import settled
from voiceassist.language.expectation import Expectation

#: More found no more right ones in quiet and at 20 dB, and each costs time (flite slt and rms).
_MOST = 5
#: Less above the noise than this, what pocketsphinx finds at a second look is no better than
#: chance (20 % right at 10 dB, against 97 % in quiet and 79 % at 20 dB; flite slt and rms).
_LEAST_SNR_DB = 8.0


def shortlist(
    evidence: Sequence[Evidence], sound: Sound, expectation: Expectation
) -> tuple[str, ...]:
    """The likeliest guesses of all listeners in turn, one word string for each understanding.

    Returns:
        Word strings; none when a second look is not worth its time: one listener alone would only
        tell again what it has told, where all have the same first guess little is to be gained,
        and in great noise it tells nothing.
    """
    found: dict[Key, str] = {}
    for rank in zip_longest(*(each.guesses for each in evidence)):
        for guess in rank:
            if guess is not None and len(found) < _MOST:
                found.setdefault(settled(guess.meanings, expectation), guess.words)
    firsts = {settled(each.guesses[0].meanings, expectation) for each in evidence if each.guesses}
    silent = any(not each.guesses for each in evidence)
    disagree = len(evidence) > 1 and (len(firsts) > 1 or (silent and len(found) > 1))
    worth = disagree and sound.snr_db >= _LEAST_SNR_DB
    return tuple(found.values()) if worth else ()
