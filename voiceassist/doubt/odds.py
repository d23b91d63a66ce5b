"""From what one listener heard to probabilities, by numbers that were fitted on labelled sound.

For a listener whose scores are logarithms of probabilities. The log odds of an understanding are
the sum over all words that come to it, times the scale, and its prior at the step; those of "none
of these" are the listener's own, times the scale, and how likely other talk is before anything is
heard. In noise a listener is surer than it should be: the scale is what its sureness is worth.
Phrases that it does not list keep their share of the whole, among those of the grammar.
"""

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field

from voiceassist.doubt.belief import Belief, log_sum
from voiceassist.doubt.costs import Costs
from voiceassist.doubt.evidence import Evidence, Key
from voiceassist.doubt.prior import log_prior
from voiceassist.doubt.same import settled
from voiceassist.errors import DoubtError
from voiceassist.language.expectation import Expectation

#: Quiet enough: above this the noise makes no difference.
QUIET_DB = 30.0
#: Each number of a table, by its name in the file.
_NUMBERS = ("scale", "other", "cost-wrong-value", "cost-wrong-turn", "let-pass-above", "ask-above")


@dataclass(frozen=True, slots=True)
class Odds:
    """What one listener's scores are worth.

    Parts:
        scale: of its log scores.
        other: log odds of other talk before anything is heard.
        costs: of mistakes, chosen so that few of them are made with this listener.
        fitted_on: how many clips, and which, for the record.
        fade: how fast the scale falls with the noise; 0 for a listener that hears it itself.
    """

    scale: float
    other: float
    costs: Costs = field(default_factory=Costs)
    fitted_on: str = ""
    fade: float = 0.0

    def belief(
        self, evidence: Evidence, expectation: Expectation, snr_db: float = QUIET_DB
    ) -> Belief:
        """How likely each understanding in ``evidence`` is, which has one or more."""
        scale = self.scale * math.exp(-self.fade * _noise(snr_db))
        keys: dict[Key, Key] = {}
        scores: dict[Key, list[float]] = {}
        for guess in evidence.guesses:
            same = settled(guess.meanings, expectation)
            keys.setdefault(same, guess.meanings)
            scores.setdefault(same, []).append(guess.score)
        odds = {
            keys[same]: scale * log_sum(each) + log_prior(keys[same], expectation)
            for same, each in scores.items()
        }
        listed = log_sum(list(odds.values()))
        none = [listed + each for each in (_unlisted(evidence),) if math.isfinite(each)]
        if evidence.none_of_these is not None:
            none.append(scale * evidence.none_of_these + self.other)
        total = log_sum([listed, *none])
        likely = sorted(odds.items(), key=lambda pair: -pair[1])
        return Belief(
            tuple((key, math.exp(each - total)) for key, each in likely),
            math.exp(log_sum(none) - total) if none else 0.0,
        )


def _noise(snr_db: float) -> float:
    """0 in quiet to 1 where speech is no louder than the noise."""
    return 1 - min(max(snr_db, 0.0), QUIET_DB) / QUIET_DB


def _unlisted(evidence: Evidence) -> float:
    """How much less likely all phrases are that are no guesses than those that are: a logarithm."""
    if evidence.rest is None:
        return -math.inf
    return evidence.rest - log_sum([guess.score for guess in evidence.guesses])


def read_odds(text: str, file: str = "odds.toml") -> Mapping[str, Odds]:
    """Odds by the names of their listeners.

    Raises:
        DoubtError: it is not TOML, or a number is missing or none.
    """
    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise DoubtError(f"this is not TOML: {error}", place=file) from None
    return {name: _read_one(table, f"{file}, {name}") for name, table in tables.items()}


def _read_one(table: object, place: str) -> Odds:
    if not isinstance(table, dict):
        raise DoubtError("this is not a table of numbers", place=place)
    given = {"fade": 0.0, **table}
    for name in (*_NUMBERS, "fade"):
        value = given.get(name)
        # bool is an int to Python, and TOML knows inf and nan
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise DoubtError(f"{name} is missing or not a number", place=place)
        if not math.isfinite(value):
            raise DoubtError(f"{name} is not a number", place=place)
    scale, other, *costs = (float(table[name]) for name in _NUMBERS)
    try:
        fitted_on = str(table.get("fitted-on", ""))
        return Odds(scale, other, Costs(*costs), fitted_on, float(given["fade"]))
    except ValueError as error:
        raise DoubtError(str(error), place=place) from None
