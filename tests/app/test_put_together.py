"""Answers put together of parts, in the words of what was asked; and what is left to be asked.

How people answer is from memory of such talk; no source.
"""

import pytest
from talk.situations import standing_at

from voiceassist.language.meanings import Answer, Command, Lamp, Meaning, Note
from voiceassist.session.events import Heard
from voiceassist.session.states import State

YES, NO, DONE = Answer("affirm"), Answer("negative"), Answer("done")
COMES_AND_GOES, STAND_BY = Command("comes-and-goes"), Command("stand-by")


def heard(where: str, words: str) -> Heard:
    one, turn = standing_at(where)
    return one.event(turn, words)


def taken(where: str, words: str) -> Meaning | None:
    meanings = heard(where, words).meanings
    return meanings[0] if len(meanings) == 1 else None


@pytest.mark.parametrize(
    ("words", "meant"),
    [
        ("all clear, no leaves and nothing caught in it", YES),
        ("the shaft's true and the wheel moves with no drag", YES),
        ("a bit dusty but it still spins fine", YES),
        ("it was stiff at first but now it turns easily", YES),
        ("i can't feel any roughness", YES),
        ("full of mud and it won't turn", NO),
        ("so rusty it won't budge", NO),
        ("there's a twig in there and it can't spin", NO),
        ("couldn't shift it with both hands", NO),
        ("hard going, very stiff to turn", NO),
        ("wish i could say so", NO),
        ("not on your life", NO),
        ("every now and then it catches", COMES_AND_GOES),
        ("it sticks now and again", COMES_AND_GOES),
    ],
)
def test_whether_a_wheel_turns_is_told_in_many_words(words: str, meant: Meaning) -> None:
    assert taken("question", words) == meant


@pytest.mark.parametrize(
    ("words", "meant"),
    [
        ("yeah it was", YES),
        ("yep they are mate", YES),
        ("aye he did", YES),
        ("no it wasn't", NO),
        ("nah they haven't", NO),
        ("nope it did not", NO),
    ],
)
def test_any_question_is_answered_by_its_own_verb(words: str, meant: Meaning) -> None:
    assert taken("question", words) == meant


@pytest.mark.parametrize(
    "words",
    [
        "it's a bit stiff but it turns",
        "there's a leaf in there but it spins",
        "if it turns i'll say",
    ],
)
def test_what_takes_something_back_condemns_nothing_unasked(words: str) -> None:
    one, turn = standing_at("question")
    after = one.say(turn, words)
    assert after.session.finding == turn.session.finding
    assert after.session.state in {State.ASK, State.MEANT}


def test_a_foreign_no_is_a_no() -> None:
    assert taken("question", "nyet it's stuck") == NO
    assert taken("question", "ja it turns") == YES


@pytest.mark.parametrize(
    ("words", "meant"),
    [
        ("not dim at all, it's blazing", "bright"),
        ("thought it'd be dim but it's glaring", "bright"),
        ("she's got a proper strong glow", "bright"),
        ("it's gleamin'", "bright"),
        ("it's on but it's feeble", "dim"),
        ("half way between on and off", "dim"),
        ("not off but near enough out", None),
        ("i've seen better candles", "dim"),
        ("sometimes bright and then dark", "flickering"),
        ("bright one second and dark the next", "flickering"),
        ("it's lit but it shivers", "flickering"),
        ("expected bright but got nothing", "off"),
        ("it doesn't want to come on at all", "off"),
    ],
)
def test_how_a_lamp_shines_is_told_in_many_words(words: str, meant: str | None) -> None:
    found = taken("lamp", words)
    assert found == Lamp(meant) if meant else not isinstance(found, Lamp)


@pytest.mark.parametrize(
    ("words", "meant"),
    [
        ("everything's back where it belongs", DONE),
        ("all plugged in and closed up", DONE),
        ("as i found it", DONE),
        ("nothing left undone", DONE),
        ("everything except the cover", NO),
        ("all back but for one clip", NO),
        ("i've two bolts left over", NO),
        ("haven't put the cover back on", NO),
    ],
)
def test_a_job_is_closed_by_who_says_that_all_is_back(words: str, meant: Meaning) -> None:
    assert taken("after", words) == meant


@pytest.mark.parametrize(
    "words",
    [
        "fair enough, my paws are out of the way",
        "noted boss, hands well clear, carry on",
        "i'll mind myself",
        "no bother, we're well back",
        "right you are, sleeves rolled and i'm clear",
        "noted, and the handbrake's on",
    ],
)
def test_a_caution_is_heeded_by_word_and_by_what_was_done(words: str) -> None:
    assert taken("caution", words) == YES


@pytest.mark.parametrize(
    "words",
    [
        "clear i am not",
        "my hands are not clear",
        "noted but my sleeve's in there",
        "my hands",
        "handbrake's on",
    ],
)
def test_a_caution_is_not_heeded_by_less(words: str) -> None:
    assert taken("caution", words) != YES


@pytest.mark.parametrize(
    ("words", "meant"),
    [
        ("i don't mind if i do", YES),
        ("why ever not", YES),
        ("certainly not", NO),
        ("save your breath", NO),
        ("it's fine i know how", NO),
    ],
)
def test_an_offer_is_taken_and_left_by_a_turn_of_phrase(words: str, meant: Meaning) -> None:
    assert taken("offer", words) == meant


def test_who_is_off_for_a_snack_has_taken_no_offer() -> None:
    assert taken("offer", "let's have a sandwich after this") != YES


@pytest.mark.parametrize("words", ["the old one is out on the bench", "it slid straight out"])
def test_the_part_is_out(words: str) -> None:
    assert taken("repair", words) == DONE


def test_who_has_all_but_one_is_waited_for() -> None:
    assert taken("repair", "all but one screw") == STAND_BY


@pytest.mark.parametrize(
    "words", ["no", "it has not settled yet", "she's still awake", "the minutes aren't up yet"]
)
def test_who_says_that_it_has_not_slept_hears_how_long_there_is_to_wait(words: str) -> None:
    one, turn = standing_at("wait")
    after = one.say(turn, words)
    assert "20 minutes" in after.outputs[0].text
    assert after.session.state is State.WAIT


@pytest.mark.parametrize(
    "words", ["not two and not point five neither", "no not twelve nor two point five"]
)
def test_who_denies_each_number_affirms_none(words: str) -> None:
    assert taken("confirm", words) == NO


def test_what_is_not_heard_is_no_value() -> None:
    assert taken("volts", "nothing can be heard over here") == Command("louder")


def test_what_will_be_seen_is_not_seen_yet() -> None:
    one, turn = standing_at("ohms")
    after = one.say(turn, "it'll be infinite you watch")
    assert after.session.ledger == turn.session.ledger


@pytest.mark.parametrize(
    ("words", "noted"),
    [
        ("the loom is wrapped in tape, write that down", "the loom is wrapped in tape"),
        ("there is a second plug here make a note of that", "there is a second plug here"),
    ],
)
def test_what_ends_so_is_noted(words: str, noted: str) -> None:
    assert taken("repair", words) == Note(noted)


@pytest.mark.parametrize(
    ("where", "words"),
    [
        ("volts", "twelve point five write that down"),
        ("drop", "now don't you ever write that down"),
        ("confirm", "that's right sugar jot it down"),
        ("volts", "well mark that"),
    ],
)
def test_a_value_an_answer_and_what_is_denied_are_not_noted_by_their_end(
    where: str, words: str
) -> None:
    assert not isinstance(taken(where, words), Note)


@pytest.mark.parametrize(
    ("where", "words", "name"),
    [
        ("lamp", "how dim is too dim", "limit"),
        ("question", "and how loose is too loose", "limit"),
        ("repair", "with which spanner i loosen it", "tool"),
        ("repair", "spanner of ten or of thirteen", "tool"),
        ("lamp", "will my old headlamp bulb do", "tool"),
        ("offer", "i'll have to ask the owner first wait there", "stand-by"),
        ("caution", "let me move the ladder", "stand-by"),
        ("lamp", "fetching another bulb", "stand-by"),
        ("question", "fifty fifty", "not-sure"),
        ("question", "it's six of one and half a dozen of the other", "not-sure"),
        ("lamp", "i'd rather give that test a miss", "skip"),
        ("caution", "no i'd rather end the whole thing", "finish"),
        ("lamp", "it worked once and now it won't", "comes-and-goes"),
    ],
)
def test_what_is_asked_and_wished_is_heard_at_each_place(where: str, words: str, name: str) -> None:
    found = taken(where, words)
    assert isinstance(found, Command)
    assert found.name == name
