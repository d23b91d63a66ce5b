"""From what listeners heard in a clip to what it may mean, and how surely."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from voiceassist.doubt.alike import Alikes, others_alike
from voiceassist.doubt.calibration import Belief, Calibration, belief, log_odds
from voiceassist.doubt.costs import Costs
from voiceassist.doubt.evidence import Evidence, Guess, Key, Sound
from voiceassist.doubt.features import features
from voiceassist.doubt.odds import Odds
from voiceassist.doubt.policy import (
    NOT_HERE,
    Accept,
    AskAmong,
    Decision,
    Leads,
    Reject,
    decide,
)
from voiceassist.doubt.prior import log_prior
from voiceassist.doubt.same import settled, spelled
from voiceassist.language.expectation import Expectation
from voiceassist.language.identifiers import passes_check
from voiceassist.language.meanings import Identifier
from voiceassist.language.step import StepGrammar
from voiceassist.recognise.base import Heard, Nothing
from voiceassist.sound.clip import Clip
from voiceassist.sound.noise import speech_level_of

#: Speech that stands less above the noise than this is misheard often.
NOISY_DB = 12.0
#: Speech that stands less above it than this is not worth guessing at.
_HOPELESS_DB = 0.0


@dataclass(frozen=True, slots=True)
class Judgement:
    """What was heard in one clip.

    Parts:
        words: the likeliest word string; empty when none was heard.
        belief: how likely each understanding is; None when these listeners are not calibrated.
        guesses: word strings that mean something, with their understanding, best first.
        firsts: of these, the best of each listener.
        ranked: of these that come to the same, the first is taken.
        snr_db: speech above the noise, in dB.
        expectation: of the step.
        costs: of mistakes with these listeners.
        nothing: why nothing was heard; empty when something was.
        alike: what each word string in ``guesses`` would mean with a number in it that sounds
            like its own; None when nobody knows which numbers do.
    """

    words: str
    belief: Belief | None
    guesses: tuple[Guess, ...]
    firsts: tuple[Guess, ...]
    ranked: tuple[Guess, ...]
    snr_db: float
    expectation: Expectation = field(default_factory=Expectation)
    costs: Costs = field(default_factory=Costs)
    nothing: str = ""
    alike: Mapping[str, tuple[Key, ...]] | None = None

    @property
    def why_not(self) -> str:
        """Why it is let pass, when it is."""
        hopeless = self.snr_db < _HOPELESS_DB
        return self.nothing or (Nothing.TOO_NOISY if hopeless else Nothing.OUTSIDE).value

    @property
    def noisy(self) -> bool:
        """True when the noise makes mishearing likely."""
        return self.snr_db < NOISY_DB

    def decided(self, leads: Leads) -> Decision:
        """Accept, ask or reject.

        Without calibration the best guess is taken as it is, unless the listeners disagree. A
        number is never taken on its sound while another sounds like it and leads elsewhere.
        """
        weighed = self.belief
        decision = self._agreed() if weighed is None else decide(weighed, leads, self.costs)
        if not isinstance(decision, Accept):
            return decision
        guess = self._guess(decision.key)
        if guess is None:
            return decision
        elsewhere = self._alike_elsewhere(guess, leads)
        if elsewhere:
            return AskAmong((guess.meanings, *elsewhere), decision.probability)
        return Accept(guess.meanings, decision.probability)

    def _alike_elsewhere(self, guess: Guess, leads: Leads) -> tuple[Key, ...]:
        """What sounds like ``guess``, can be meant here, and leads elsewhere."""
        there = leads(guess.meanings)
        others = (self.alike or {}).get(guess.words, ())
        return tuple(key for key in others if leads(key) not in {there, NOT_HERE})[:1]

    def _agreed(self) -> Decision:
        best = tuple(dict.fromkeys(guess.meanings for guess in self.firsts))
        if not best:
            return Reject(1.0)
        return Accept(best[0], 1.0) if len(best) == 1 else AskAmong(best[:2], 1 / len(best))

    def _guess(self, key: Key) -> Guess | None:
        """The best guess that comes to ``key``."""
        same = settled(key, self.expectation)
        of = (guess for guess in self.ranked if settled(guess.meanings, self.expectation) == same)
        return next(of, None)

    def probability(self, guess: Guess) -> float | None:
        """How likely its understanding is; None without calibration."""
        if self.belief is None:
            return None
        same = settled(guess.meanings, self.expectation)
        likely = ((settled(key, self.expectation), p) for key, p in self.belief.likely)
        return next((p for key, p in likely if key == same), 0.0)

    def words_for(self, key: Key) -> str:
        """The word string that was understood as ``key``; the best of all without one."""
        guess = self._guess(key)
        return guess.words if guess is not None else self.words


def sound_of(clip: Clip) -> Sound:
    """What the doubt policy wants to know of a clip."""
    return Sound(speech_level_of(clip).snr_db, clip.seconds)


def understood(heard: Sequence[Heard], grammar: StepGrammar) -> list[Evidence]:
    """What each listener heard, understood by our own parser."""
    return [_evidence(each, grammar) for each in heard]


def with_second_look(
    evidence: Sequence[Evidence],
    phrases: Sequence[str],
    scores: Mapping[str, Sequence[float]],
    grammar: StepGrammar,
) -> list[Evidence]:
    """The evidence with what the listeners made of ``phrases`` at a second look.

    Args:
        evidence: of each listener.
        phrases: all of the grammar.
        scores: for each listener that took the look, one for each phrase.
        grammar: of the step.
    """
    meanings = [grammar.parse(phrase).meanings for phrase in phrases]

    def weighed(listener: str) -> tuple[Guess, ...]:
        found = zip(phrases, meanings, scores.get(listener, ()), strict=False)
        return tuple(Guess(*each) for each in found if math.isfinite(each[2]))

    return [replace(each, weighed=weighed(each.listener)) for each in evidence]


def judged(
    heard: Sequence[Heard],
    evidence: Sequence[Evidence],
    grammar: StepGrammar,
    sound: Sound,
    calibration: Calibration | Odds | None,
    alikes: Alikes | None = None,
) -> Judgement:
    """Weigh all that was heard.

    Args:
        heard: of each listener, in the order of their names.
        evidence: of each, as ``understood``.
        grammar: of the step.
        sound: what is known of the clip.
        calibration: for just these listeners; None when there is none.
        alikes: words of numbers that sound alike; None when nobody knows.
    """
    found = _judged(heard, evidence, grammar, sound, calibration)
    if alikes is None:
        return found
    return replace(
        found, alike={g.words: others_alike(g.words, grammar, alikes) for g in found.guesses}
    )


def _judged(
    heard: Sequence[Heard],
    evidence: Sequence[Evidence],
    grammar: StepGrammar,
    sound: Sound,
    calibration: Calibration | Odds | None,
) -> Judgement:
    if calibration is None:
        evidence = [_plainly(each) for each in evidence]
    expected = grammar.expectation
    guesses = tuple(guess for each in evidence for guess in each.guesses)
    firsts = tuple(each.guesses[0] for each in evidence if each.guesses)
    if not guesses:
        words, nothing = _outside_words(heard), _why_nothing(heard, sound)
        return Judgement(words, None, (), (), (), sound.snr_db, expected, nothing=nothing)
    if calibration is None:
        words = guesses[0].words
        return Judgement(words, None, guesses, firsts, guesses, sound.snr_db, expected)
    if isinstance(calibration, Odds):
        found = calibration.belief(evidence[0], expected)
        costs, snr_db = calibration.costs, sound.snr_db
        best = Judgement("", found, guesses, firsts, guesses, snr_db, expected, costs)
        return replace(best, words=best.words_for(found.likely[0][0]))
    weighed = features(evidence, sound, expected)
    prior = [log_prior(key, expected) for key in weighed.keys]
    found = belief(calibration, weighed, prior)
    ranked = _likeliest_first(guesses, evidence, sound, expected, calibration)
    best = Judgement("", found, guesses, firsts, ranked, sound.snr_db, expected, calibration.costs)
    return replace(best, words=best.words_for(found.likely[0][0]))


def _likeliest_first(
    guesses: Sequence[Guess],
    evidence: Sequence[Evidence],
    sound: Sound,
    expectation: Expectation,
    calibration: Calibration,
) -> tuple[Guess, ...]:
    """``guesses`` by the odds of their digits: those of one listener may be mended by others.

    A second look was taken at one word string of each value, and says nothing of digits.
    """
    found = features([replace(e, weighed=()) for e in evidence], sound, expectation, spelled)
    prior = [log_prior(key, expectation) for key in found.keys]
    keys = [spelled(key, expectation) for key in found.keys]
    odds = dict(zip(keys, log_odds(calibration, found, prior), strict=False))
    return tuple(sorted(guesses, key=lambda g: -odds[spelled(g.meanings, expectation)]))


def _evidence(heard: Heard, grammar: StepGrammar) -> Evidence:
    parsed = ((each, grammar.parse(each.words).meanings) for each in heard.candidates)
    guesses = tuple(Guess(c.words, meanings, c.score) for c, meanings in parsed if meanings)
    return Evidence(heard.listener, guesses, heard.none_of_these, rest=heard.rest)


def _plainly(evidence: Evidence) -> Evidence:
    """Without calibration: nothing below "none of these"; a number whose check fits goes first."""
    none = evidence.none_of_these
    kept = [g for g in evidence.guesses if none is None or evidence.guesses[0].score >= none]
    ordered = sorted(kept, key=lambda guess: not _fits_check(guess.meanings))
    return replace(evidence, guesses=tuple(ordered))


def _fits_check(meanings: Key) -> bool:
    vins = [m for m in meanings if isinstance(m, Identifier) and m.name == "vin"]
    return len(vins) == len(meanings) and any(passes_check(vin.text) for vin in vins)


def _outside_words(heard: Sequence[Heard]) -> str:
    """What was heard although it means nothing; empty for nothing."""
    return next((each.candidates[0].words for each in heard if each.candidates), "")


def _why_nothing(heard: Sequence[Heard], sound: Sound) -> str:
    """The gravest reason that all of them share; noise explains most."""
    reasons = {each.nothing for each in heard}
    for shared in (Nothing.FAILED, Nothing.NO_SPEECH):
        if reasons == {shared}:
            return shared.value
    if sound.snr_db < _HOPELESS_DB:
        return Nothing.TOO_NOISY.value
    return Nothing.OUTSIDE.value
