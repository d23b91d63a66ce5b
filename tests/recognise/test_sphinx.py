"""The pocketsphinx listener, for real."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest

from voiceassist.devices.wav import read_clip
from voiceassist.errors import RecogniseError
from voiceassist.language.expectation import Expectation
from voiceassist.language.language import IDENTIFIERS, Language
from voiceassist.recognise.base import HeardClip, ListenerGrammar, Nothing
from voiceassist.recognise.choose import LISTENERS, choose_listener
from voiceassist.recognise.sphinx import SphinxListener
from voiceassist.sound.clip import Clip
from voiceassist.sound.level import amplified
from voiceassist.sound.samples import clip_of

PHRASES = Path(__file__).parents[2] / "audio_fixtures" / "phrases"


@dataclass(frozen=True, slots=True)
class Words:
    """A grammar of whole phrases."""

    phrases: tuple[str, ...]

    def jsgf(self) -> str:
        """Any one of the phrases."""
        return f"#JSGF V1.0; grammar words; public <words> = {' | '.join(self.phrases)};"

    def words(self) -> frozenset[str]:
        """Every word."""
        return frozenset(" ".join(self.phrases).split())


@dataclass(frozen=True, slots=True)
class File:
    """A grammar in a file, whose words are all in the listener's dictionary."""

    path: Path

    def jsgf(self) -> str:
        """The file's text."""
        return self.path.read_text(encoding="utf-8")

    def words(self) -> frozenset[str]:
        """None that needs a check."""
        return frozenset()


YES_NO = Words(("affirm", "negative", "say again"))


@pytest.fixture(scope="module")
def listener() -> SphinxListener:
    return SphinxListener()


@pytest.fixture
def outside() -> Path:
    """Recordings of people, in Debian's package pocketsphinx-testdata (BSD-2-Clause)."""
    folder = Path("/usr/share/pocketsphinx/test/data")
    if not folder.is_dir():
        pytest.skip("the package pocketsphinx-testdata is not installed")
    return folder


def heard(listener: SphinxListener, grammar: ListenerGrammar, clip: Clip) -> HeardClip:
    """What the listener makes of the clip within the grammar."""
    listener.prepare(grammar)
    return listener.hear(clip)


def phrase(name: str) -> Clip:
    """One of the recorded phrases."""
    return read_clip(PHRASES / f"{name}.wav")


def test_a_recorded_person_is_heard(listener: SphinxListener, outside: Path) -> None:
    # Words: the grammar's first rule, spoken in that file, as the package's own test has it.
    clip = Clip((outside / "goforward.raw").read_bytes())
    result = heard(listener, File(outside / "goforward.gram"), clip)
    assert result.candidates[0].words == "go forward ten meters"
    assert result.nothing is None


def test_recorded_card_hands_are_heard_as_their_transcript_says(
    listener: SphinxListener, outside: Path
) -> None:
    said = {}
    for line in (outside / "cards" / "cards.transcription").read_text().splitlines():
        words, _, name = line.rpartition(" (")
        said[name.rstrip(")")] = words.replace("<s>", "").replace("</s>", "").strip()
    assert len(said) == 5
    for name, words in said.items():
        clip = read_clip(outside / "cards" / f"{name}.wav")
        result = heard(listener, File(outside / "cards" / "cards.gram"), clip)
        assert result.candidates[0].words == words


def test_what_fits_the_grammar_scores_above_none_of_these_and_what_does_not_below(
    listener: SphinxListener, outside: Path
) -> None:
    grammar = File(outside / "goforward.gram")
    inside = heard(listener, grammar, Clip((outside / "goforward.raw").read_bytes()))
    other = heard(listener, grammar, Clip((outside / "something.raw").read_bytes()))
    assert inside.none_of_these is not None
    assert other.none_of_these is not None
    assert inside.candidates[0].score > inside.none_of_these
    assert all(each.score < other.none_of_these for each in other.candidates)


def test_a_novel_read_aloud_is_no_reading_and_no_command(
    outside: Path, english: Language, pronunciations: str
) -> None:
    listener, grammar = SphinxListener(pronunciations), english.compose(Expectation(("voltage",)))
    stories = sorted((outside / "librivox").glob("*.wav"))
    assert stories
    for story in stories:
        result = heard(listener, grammar, read_clip(story))
        assert result.none_of_these is not None
        assert all(each.score < result.none_of_these for each in result.candidates)


def test_scores_are_logarithms_and_fall_from_candidate_to_candidate(
    english: Language, pronunciations: str
) -> None:
    listener = SphinxListener(pronunciations)
    result = heard(listener, english.compose(Expectation(("voltage",))), phrase("n02"))
    scores = [each.score for each in result.candidates]
    assert 2 <= len(scores) <= 5
    assert scores == sorted(scores, reverse=True)
    assert scores[0] <= 0
    assert len({each.words for each in result.candidates}) == len(scores)


def test_words_carry_no_variant_numbers() -> None:
    # The second way to say it is the one that fits.
    listener = SphinxListener("klingelton B AA B AA\nklingelton(2) N EH G AH T IH V")
    result = heard(listener, Words(("klingelton", "say again")), phrase("a04"))
    assert result.candidates[0].words == "klingelton"


def test_the_same_clip_is_heard_the_same_whatever_came_before(listener: SphinxListener) -> None:
    first = heard(listener, YES_NO, phrase("a04"))
    for other in ("s02", "x01", "c01", "n01"):
        heard(listener, YES_NO, phrase(other))
    again = heard(listener, YES_NO, phrase("a04"))
    assert (again.candidates, again.none_of_these) == (first.candidates, first.none_of_these)


def test_a_new_grammar_takes_the_place_of_the_old_one(listener: SphinxListener) -> None:
    assert heard(listener, YES_NO, phrase("c01")).candidates[0].words == "say again"
    other = heard(listener, Words(("bright", "dim")), phrase("c01"))
    assert all(each.words in {"bright", "dim"} for each in other.candidates)
    assert heard(listener, YES_NO, phrase("c01")).candidates[0].words == "say again"


class Counted:
    """A grammar that counts how often its words are asked for."""

    def __init__(self) -> None:
        self.asked = 0

    def jsgf(self) -> str:
        """Always the same text."""
        return YES_NO.jsgf()

    def words(self) -> frozenset[str]:
        """Its words, counted."""
        self.asked += 1
        return YES_NO.words()


def test_preparing_the_same_grammar_again_is_free() -> None:
    listener, grammar = SphinxListener(reject=False), Counted()
    for _ in range(5):
        listener.prepare(grammar)
    assert grammar.asked == 1


def test_many_grammars_do_not_fill_the_memory(english: Language, pronunciations: str) -> None:
    import resource

    listener = SphinxListener(pronunciations)
    grammars = [
        english.compose(Expectation((quantity,))) for quantity in ("voltage", "current", "time")
    ]
    for grammar in grammars:
        listener.prepare(grammar)
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    for _ in range(40):
        for grammar in grammars:
            listener.prepare(grammar)
    grown_mb = (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) / 1024
    assert grown_mb < 20


@pytest.mark.parametrize(
    "clip",
    [Clip(b""), Clip(b"\x10\x20"), Clip.silence(0.05), Clip.silence(2.0)],
    ids=["empty", "one sample", "short", "silent"],
)
def test_no_sound_is_no_speech(listener: SphinxListener, clip: Clip) -> None:
    result = heard(listener, YES_NO, clip)
    assert result.nothing is Nothing.NO_SPEECH
    assert result.candidates == ()


@pytest.mark.parametrize("seconds", [0.1, 0.11, 0.15])
def test_a_scrap_of_loud_noise_does_no_harm(listener: SphinxListener, seconds: float) -> None:
    noise = np.random.RandomState(1).standard_normal(round(seconds * 16_000))
    result = heard(listener, YES_NO, clip_of(6000 * noise, 16_000))
    assert result.candidates or result.nothing is not None


def test_faint_dither_is_no_speech(listener: SphinxListener) -> None:
    assert heard(listener, YES_NO, phrase("s01")).nothing is Nothing.NO_SPEECH


def test_faint_speech_is_heard(listener: SphinxListener) -> None:
    result = heard(listener, YES_NO, amplified(phrase("a04"), -30))
    assert result.candidates[0].words == "negative"


def test_a_word_without_pronunciation_is_named_with_what_to_do(listener: SphinxListener) -> None:
    with pytest.raises(RecogniseError) as caught:
        listener.prepare(Words(("affirm", "frobnicate the quuxometer")))
    assert "'frobnicate'" in str(caught.value)
    assert "'quuxometer'" in str(caught.value)
    assert "'affirm'" not in str(caught.value)
    assert "add a line to pronunciations.dict" in str(caught.value)


def test_a_refused_grammar_leaves_the_one_before_in_force(listener: SphinxListener) -> None:
    listener.prepare(YES_NO)
    with pytest.raises(RecogniseError):
        listener.prepare(Words(("quuxometer",)))
    assert listener.hear(phrase("a04")).candidates[0].words == "negative"


def test_a_given_pronunciation_makes_a_word_known_and_heard() -> None:
    listener = SphinxListener(";;; a remark\n# another\n\nklingelton N EH G AH T IH V\n")
    words = Words(("klingelton", "say again"))
    assert heard(listener, words, phrase("a04")).candidates[0].words == "klingelton"


def test_a_word_the_dictionary_has_gets_another_way_to_be_said() -> None:
    listener = SphinxListener("bright N EH G AH T IH V")
    words = Words(("bright", "say again"))
    assert heard(listener, words, phrase("a04")).candidates[0].words == "bright"
    assert heard(listener, words, phrase("l01")).candidates[0].words == "bright"


@pytest.mark.parametrize(
    ("text", "place"),
    [("amps AE M P S\nvolts", "line 2"), ("amps AE M P S\n\nohms OH M Z", "line 3")],
)
def test_a_pronunciation_that_cannot_be_used_is_named_with_its_line(text: str, place: str) -> None:
    with pytest.raises(RecogniseError, match=f"pronunciations.dict {place}"):
        SphinxListener(text)


class Broken:
    """A grammar whose text is none."""

    def jsgf(self) -> str:
        """A rule with no end."""
        return "#JSGF V1.0; grammar broken; public <broken> = (affirm"

    def words(self) -> frozenset[str]:
        """Its one word."""
        return frozenset({"affirm"})


def test_a_text_that_is_no_grammar_is_refused(listener: SphinxListener) -> None:
    with pytest.raises(RecogniseError, match="cannot be searched"):
        listener.prepare(Broken())


def test_a_clip_at_another_rate_is_misuse(listener: SphinxListener) -> None:
    listener.prepare(YES_NO)
    with pytest.raises(ValueError, match="8000 Hz"):
        listener.hear(Clip.silence(1, 8000))


def test_hearing_before_a_grammar_is_prepared_is_misuse() -> None:
    with pytest.raises(RuntimeError, match="prepare"):
        SphinxListener(reject=False).hear(Clip.silence(1))


def test_a_listener_that_does_not_reject_says_so() -> None:
    result = heard(SphinxListener(reject=False), YES_NO, phrase("a04"))
    assert result.none_of_these is None
    assert result.candidates[0].words == "negative"


@pytest.mark.parametrize(
    "expectation",
    [Expectation.anything(), *(Expectation(identifier=name) for name in IDENTIFIERS)],
    ids=["anything", *IDENTIFIERS],
)
def test_every_english_word_of_every_step_can_be_heard(
    english: Language, pronunciations: str, expectation: Expectation
) -> None:
    grammar = english.compose(expectation)
    assert len(grammar.words()) > 50
    SphinxListener(pronunciations, reject=False).prepare(grammar)


def test_a_listener_is_chosen_by_name() -> None:
    assert choose_listener("sphinx").name == "sphinx"
    assert "sphinx" in LISTENERS


def test_an_unknown_listener_lists_those_there_are_and_none_takes_its_place() -> None:
    with pytest.raises(RecogniseError, match=r"use one of: .*sphinx"):
        choose_listener("parrot")
