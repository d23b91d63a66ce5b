"""From what a listener heard in a clip to what it may mean, and how surely."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from voiceassist.app.ears.loosely_heard import likeliest, likeness
from voiceassist.doubt.alike import Alikes, others_alike, with_a_point
from voiceassist.doubt.belief import Belief
from voiceassist.doubt.costs import Costs
from voiceassist.doubt.evidence import ClipFacts, Evidence, Guess, Key
from voiceassist.doubt.odds import Odds
from voiceassist.doubt.policy import (
    NOT_HERE,
    Accept,
    AskAmong,
    Decision,
    Leads,
    Reject,
    Share,
    decide,
    in_place,
)
from voiceassist.doubt.prior import as_shown, too_fine
from voiceassist.doubt.same import settled
from voiceassist.language.expectation import Expectation
from voiceassist.language.identifiers import passes_check
from voiceassist.language.meanings import Identifier
from voiceassist.language.step import StepGrammar
from voiceassist.recognise.base import HeardClip, Nothing
from voiceassist.session.next_action import is_only_read_back, next_action
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.share import answers, share
from voiceassist.sound.clip import Clip
from voiceassist.sound.noise import speech_level_of

#: Speech that stands less above the noise than this is misheard often.
NOISY_DB = 12.0
#: Speech that stands less above it than this is not worth guessing at.
_HOPELESS_DB = 0.0
#: So likely at least is an answer that is asked about when it is told once more.
_AGAIN = 0.01
#: Letters at least so alike are the same but for a slip of spelling.
_CLEAR = 0.95


@dataclass(frozen=True, slots=True)
class Judgement:
    """What was heard in one clip.

    Parts:
        words: the likeliest word string; empty when none was heard.
        belief: how likely each understanding is; None when the listener's odds are not known.
        guesses: word strings that mean something, with their understanding, best first.
        snr_db: speech above the noise, in dB.
        expectation: of the step.
        costs: of mistakes with this listener.
        nothing: why nothing was heard; empty when something was.
        alike: what each word string in ``guesses`` would mean with a number in it that sounds
            like its own; None when nobody knows which numbers do.
        unfinished: it sounds more like the beginning of a phrase than like a whole one.
        spelled, loose: where no phrase of the grammar fits, what the listener writes without
            one, and what that can mean as loose talk.
        letters: what the listener writes with no grammar at all; empty when it cannot.
        faithful: how alike the letters of these words are to those that were heard, up to 1. Other
            talk has words that the listener does not know, and writes known ones in their place.
        wordings: the likeliest ways to write these words, each with its share.
    """

    words: str
    belief: Belief | None
    guesses: tuple[Guess, ...]
    snr_db: float
    expectation: Expectation = field(default_factory=Expectation)
    costs: Costs = field(default_factory=Costs)
    nothing: str = ""
    alike: Mapping[str, tuple[Key, ...]] | None = None
    spelled: str = ""
    loose: Key = ()
    letters: str = ""
    faithful: float = 1.0
    wordings: Mapping[str, float] = field(default_factory=dict)
    unfinished: bool = False

    @property
    def why_not(self) -> str:
        """Why it is let pass, when it is."""
        hopeless = self.snr_db < _HOPELESS_DB
        return self.nothing or (Nothing.TOO_NOISY if hopeless else Nothing.OUTSIDE).value

    @property
    def noisy(self) -> bool:
        """True when the noise makes mishearing likely."""
        return self.snr_db < NOISY_DB

    def decided(self, leads: Leads, share: Share = lambda _: 1.0) -> Decision:
        """Accept, ask or reject, by what each would lead to and how much less likely it is here.

        Without odds the best guess is taken as it is. A number is never taken on its sound while
        another sounds like it and leads elsewhere, while the instrument shows another, or while no
        instrument shows it.
        """
        if not self.guesses:
            return Reject(1.0)
        if self.belief is None:
            decision: Decision = Accept(self.guesses[0].meanings, 1.0)
        else:
            decision = decide(in_place(self.belief, share), leads, self.costs)
        if not isinstance(decision, Accept):
            return decision
        guess = self._guess(decision.key)
        if not all(as_shown(meaning, self.expectation) for meaning in guess.meanings):
            shown = tuple((one,) for one in self.expectation.shown or ())[-1:]
            return AskAmong((guess.meanings, *shown), decision.probability)
        if any(map(too_fine, guess.meanings)):
            return AskAmong((guess.meanings,), decision.probability)
        elsewhere = self._alike_elsewhere(guess, leads)
        if elsewhere:
            return AskAmong((guess.meanings, *elsewhere), decision.probability)
        sure = decision.sure and self._is_clear(guess, leads)
        return Accept(guess.meanings, decision.probability, sure)

    def _is_clear(self, guess: Guess, leads: Leads) -> bool:
        """Whether it is written nearly the same with no grammar, and has no likely other.

        Of 662 clear readings that were taken on the part that is fitted on, 10 were wrong and one
        led to another verdict; of 225 that were not clear, 17 and 4.
        """
        if self.alike is None or likeness(guess.words, self.letters) < _CLEAR:
            return False
        there = leads(guess.meanings)
        others = (other for meaning in guess.meanings for other in with_a_point(meaning))
        return all(leads((other,)) in {there, NOT_HERE} for other in others)

    def _alike_elsewhere(self, guess: Guess, leads: Leads) -> tuple[Key, ...]:
        """What sounds like ``guess``, can be meant here, and leads elsewhere."""
        there = leads(guess.meanings)
        others = (self.alike or {}).get(guess.words, ())
        return tuple(key for key in others if leads(key) not in {there, NOT_HERE})[:1]

    def _guess(self, key: Key) -> Guess:
        """The best guess that comes to ``key``; the best of all when none does."""
        same = settled(key, self.expectation)
        of = (each for each in self.guesses if settled(each.meanings, self.expectation) == same)
        return next(of, self.guesses[0])

    def probability(self, guess: Guess) -> float | None:
        """How likely its understanding is; None without odds."""
        if self.belief is None:
            return None
        same = settled(guess.meanings, self.expectation)
        likely = ((settled(key, self.expectation), p) for key, p in self.belief.likely)
        return next((p for key, p in likely if key == same), 0.0)

    def words_for(self, key: Key) -> str:
        """The word string that was understood as ``key``; the best of all without one."""
        return self._guess(key).words if self.guesses else self.words


def decided_at(judgement: Judgement, setup: SessionSetup, session: Session) -> Decision:
    """What is done about ``judgement`` where ``session`` stands.

    Who was not understood and says something like an answer again, is asked whether it was that.
    """

    def in_session(key: Key) -> float:
        return share(setup, session, key)

    if judgement.belief is not None and judgement.belief.likely:
        best, _ = in_place(judgement.belief, in_session).likely[0]
        if is_only_read_back(setup, session, best):
            judgement = replace(judgement, costs=judgement.costs.where_read_back())
    decision = judgement.decided(lambda key: next_action(setup, session, key), in_session)
    likely = judgement.belief.likely[:1] if judgement.belief is not None else ()
    for key, probability in likely:
        again = session.misses and probability >= _AGAIN and answers(setup, session, key)
        if isinstance(decision, Reject) and again:
            return AskAmong((key,), probability)
    return decision


def sound_of(clip: Clip) -> ClipFacts:
    """What the doubt policy wants to know of a clip."""
    return ClipFacts(speech_level_of(clip).snr_db, clip.seconds)


def understood(heard: HeardClip, grammar: StepGrammar) -> Evidence:
    """What a listener heard, understood by our own parser."""
    parsed = ((each, grammar.parse(each.words).meanings) for each in heard.candidates)
    guesses = tuple(Guess(c.words, meanings, c.score) for c, meanings in parsed if meanings)
    return Evidence(heard.listener, guesses, heard.none_of_these, heard.rest)


def judged(
    heard: HeardClip,
    grammar: StepGrammar,
    sound: ClipFacts,
    odds: Odds | None,
    alikes: Alikes | None = None,
) -> Judgement:
    """Weigh what was heard.

    Args:
        heard: of the listener.
        grammar: of the step.
        sound: what is known of the clip.
        odds: of this listener; None when nobody knows them.
        alikes: words of numbers that sound alike; None when nobody knows.
    """
    evidence = understood(heard, grammar)
    guesses = evidence.guesses if odds is not None else _plainly(evidence)
    expected = grammar.expectation
    if not guesses:
        words = heard.candidates[0].words if heard.candidates else ""
        nothing = _why_nothing(heard, sound)
        return _freely(
            Judgement(words, None, (), sound.snr_db, expected, nothing=nothing), heard, grammar
        )
    unfinished = heard.unfinished is not None and heard.unfinished > guesses[0].score
    found = Judgement(
        *(guesses[0].words, None, guesses, sound.snr_db, expected),
        letters=heard.spelled,
        unfinished=unfinished,
    )
    if odds is not None:
        belief = odds.belief(evidence, expected, sound.snr_db)
        found = replace(found, belief=belief, costs=odds.costs)
        found = replace(found, words=found.words_for(belief.likely[0][0]))
        found = _freely(found, heard, grammar)
    if alikes is None:
        return found
    words_heard = [guess.words for guess in guesses]
    return replace(found, alike={w: others_alike(w, grammar, alikes) for w in words_heard})


def _freely(found: Judgement, heard: HeardClip, grammar: StepGrammar) -> Judgement:
    """With what the listener writes of its own, where no phrase of the grammar is likely."""
    fits = found.belief is not None and found.belief.none <= found.costs.none
    if fits or not heard.spelled or found.snr_db < _HOPELESS_DB:
        return found
    return replace(found, **likeliest(heard, grammar))


def _plainly(evidence: Evidence) -> tuple[Guess, ...]:
    """Without odds: nothing below "none of these"; a number whose check fits goes first."""
    none = evidence.none_of_these
    kept = [g for g in evidence.guesses if none is None or evidence.guesses[0].score >= none]
    return tuple(sorted(kept, key=lambda guess: not _fits_check(guess.meanings)))


def _fits_check(meanings: Key) -> bool:
    vins = [m for m in meanings if isinstance(m, Identifier) and m.name == "vin"]
    return len(vins) == len(meanings) and any(passes_check(vin.text) for vin in vins)


def _why_nothing(heard: HeardClip, sound: ClipFacts) -> str:
    """The gravest reason; noise explains most."""
    if heard.nothing in {Nothing.FAILED, Nothing.NO_SPEECH}:
        return heard.nothing.value
    if sound.snr_db < _HOPELESS_DB:
        return Nothing.TOO_NOISY.value
    return Nothing.OUTSIDE.value
