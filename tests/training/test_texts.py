"""The texts are phrases that people say, and their rivals are other phrases."""

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from num2words import num2words

from training.contrasts import contrast, long
from training.ear import LETTERS
from training.numbers import PAIRS, below_hundred, one_of_a_pair, reading
from training.phonemes import phonemes
from training.rivals import rivals
from training.texts import LONGEST, LONGEST_OF_ALL, Deck, Mixer, Shares, deck, listed, mixer
from voiceassist.app import build
from voiceassist.language.expectation import Expectation
from voiceassist.language.meanings import Reading

SEEDS = st.integers(0, 2**32)


@pytest.fixture(scope="module")
def drawn() -> tuple[Mixer, list[str]]:
    mix, rng = mixer(), Random(3)
    return mix, [mix.draw(rng) for _ in range(400)]


@pytest.mark.parametrize("number", range(100))
def test_small_numbers_are_named_as_num2words_names_them(number: int) -> None:
    assert below_hundred(number) == num2words(number).replace("-", " ")


def test_nearly_every_reading_is_one_that_the_grammar_understands() -> None:
    english = build.Components(build.settings({"language": "en"})).language
    grammar, rng = english.compose(Expectation.anything()), Random(1)
    readings = [reading(rng) for _ in range(400)]
    understood = [r for r in readings if _is_reading(grammar.parse(r).meanings)]
    assert len(understood) > 0.9 * len(readings)


def _is_reading(meanings: tuple[object, ...]) -> bool:
    return any(isinstance(m, Reading) for m in meanings)


def test_phrases_are_letters_alone_and_not_too_long(drawn: tuple[Mixer, list[str]]) -> None:
    assert all(set(t) <= set(LETTERS[1:]) and 0 < len(t) <= LONGEST for t in drawn[1])


def test_plain_readings_are_the_largest_part(drawn: tuple[Mixer, list[str]]) -> None:
    values = [t for t in drawn[1] if "volt" in t or "amp" in t or "ohm" in t or " point " in t]
    assert len(values) > 0.35 * len(drawn[1])


def test_commands_and_other_talk_are_among_them(drawn: tuple[Mixer, list[str]]) -> None:
    mix, rng = drawn[0], Random(9)
    many = {mix.draw(rng) for _ in range(2500)}
    commands = {"say again", "go back", "skip", "why", "explain", "disregard", "stand by", "help"}
    fetching = ("pass ", "hand ", "give ", "grab ", "fetch ", "chuck ", "bring ", "lend ", "throw ")
    assert len(commands & many) >= 5
    assert any(text.startswith(fetching) for text in many)


@given(SEEDS)
def test_rivals_are_never_the_phrase_itself(seed: int) -> None:
    rng = Random(seed)
    text = reading(rng)
    near = rivals(text, 8, rng)
    assert text not in near
    assert len(set(near)) == len(near) <= 8


@given(SEEDS)
def test_a_teen_has_the_ten_among_its_rivals(seed: int) -> None:
    teen, ten = Random(seed).choice(PAIRS)
    phrase = f"{below_hundred(teen)} volts"
    assert f"{below_hundred(ten)} volts" in rivals(phrase, 60, Random(seed))


@given(SEEDS)
def test_a_digit_has_its_teen_and_its_ten_among_its_rivals(seed: int) -> None:
    digit = Random(seed).randrange(3, 10)
    near = rivals(f"{below_hundred(digit)} point four volts", 90, Random(seed))
    for other in (digit + 10, 10 * digit):
        assert f"{below_hundred(other)} point four volts" in near


def test_one_of_a_pair_holds_a_teen_or_its_ten() -> None:
    words = {below_hundred(n) for pair in PAIRS for n in pair}
    assert all(words & set(one_of_a_pair(Random(k)).split()) for k in range(50))


def test_most_teens_are_stressed_on_their_last_syllable() -> None:
    signs = {sign: number for number, sign in enumerate("ˈˌabcdefghijklmnopqrstuvwxyzθɜɹɪːəʊɔɐæ ")}
    spoken = list(phonemes(["fifteen volts"] * 60, signs, Random(2)))
    late = [s for s in spoken if s.american[1] == signs["ˌ"]]
    assert len(spoken) == 60
    assert 25 < len(late) < 55


def test_kilohms_begin_as_kilovolts_do() -> None:
    signs = {sign: number for number, sign in enumerate("ˈˌaɪklovtəʊmzs ")}
    ohms, volts = phonemes(["kilohms", "kilovolts"], signs, Random(2))
    assert ohms.american[:4] == volts.american[:4]
    assert ohms.british[:4] == volts.british[:4]


def test_a_phrase_of_too_many_phonemes_is_left_out_and_not_cut() -> None:
    signs = {sign: number for number, sign in enumerate("ˈˌabcdefghijklmnopqrstuvwxyzθɜɹɪːəʊɔɐæ ")}
    spoken = list(phonemes(["seventeen " * 40, "four two"], signs, Random(2)))
    assert [s.text for s in spoken] == ["four two"]


@pytest.mark.parametrize(
    "found",
    [
        r"^(zero )?point (zero|oh|nought|nil) \w+ millivolts$",
        r"^(zero )?point (zero|oh|nought|nil) \w+ volts$",
        r"kilohms$",
        r"megohms$",
        r"^four two$",
        r"^four$",
        r"^(\w+ ){5,6}\w+$",
        r"teen( volts| ohms)?$",
        r"ty( volts| ohms)?$",
        r"^done$",
        r"^one$",
    ],
)
def test_both_sides_of_what_is_mixed_up_are_among_the_contrasts(found: str) -> None:
    rng = Random(4)
    assert any(re.search(found, contrast(rng)) for _ in range(6000))


def test_long_phrases_take_more_than_seven_seconds_to_say() -> None:
    """English speech has some 4 to 6 syllables a second (Pellegrino et al. 2011: 6.2 read)."""
    rng = Random(5)
    syllables = [len(re.findall(r"[aeiouy]+(?!\b(?<=e))|\be", long(rng))) for _ in range(300)]
    assert sum(n > 6.2 * 7 / 2 for n in syllables) > 150
    assert sum(len(long(rng)) > LONGEST for _ in range(100)) > 40


@pytest.mark.parametrize(
    ("shares", "is_one"),
    [
        (Shares(contrasts=0.9), lambda t: len(t) <= LONGEST),
        (Shares(long=0.9), lambda t: LONGEST < len(t) <= LONGEST_OF_ALL),
    ],
)
def test_the_shares_are_kept(
    drawn: tuple[Mixer, list[str]], shares: Shares, is_one: Callable[[str], bool]
) -> None:
    mix, rng = replace(drawn[0], shares=shares), Random(6)
    texts = [mix.draw(rng) for _ in range(100)]
    assert sum(map(is_one, texts)) > 50
    assert len(set(texts)) > 50


def test_listed_talk_is_read_from_tables_and_from_json_and_figures_are_left_out(
    tmp_path: Path,
) -> None:
    (tmp_path / "a.tsv").write_text("volts\tzero\tnot a sausage\nvolts\tx\tgot 12 on it\n")
    (tmp_path / "b.json").write_text('{"zero": ["nothing"], "why": ["what for", "why 2"]}')
    assert list(listed(tmp_path / "a.tsv")) == ["not a sausage"]
    assert list(listed(tmp_path / "b.json")) == ["nothing", "what for"]


def test_a_tenth_of_listed_talk_is_never_trained_on(
    drawn: tuple[Mixer, list[str]], tmp_path: Path
) -> None:
    path = tmp_path / "talk.tsv"
    phrases = {f"{below_hundred(n)} cups of tea" for n in range(100)}
    path.write_text("".join(f"somewhere\tother\t{phrase}\n" for phrase in phrases))
    all_of_it, rng = replace(drawn[0], shares=Shares(talk=1)), Random(7)
    some, back = (
        {mix.draw(rng) for _ in range(100)}
        for mix in (
            replace(all_of_it, phrases=deck([path])),
            replace(all_of_it, phrases=deck([path], held_back=True)),
        )
    )
    assert some | back == phrases
    assert not some & back
    assert 3 < len(back) < 20


@given(SEEDS, st.integers(1, 9))
def test_a_deck_deals_every_phrase_before_any_again(seed: int, count: int) -> None:
    phrases, rng = [f"phrase {k}" for k in range(count)], Random(seed)
    dealer = Deck(phrases)
    for _ in range(3):
        assert sorted(dealer.deal(rng) for _ in phrases) == phrases
