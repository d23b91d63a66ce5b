"""Words for full text search are the same in each database."""

import pytest
from shelf import head, heard

from voiceassist.archive.find import Wanted
from voiceassist.archive.rows import TakenSession
from voiceassist.archive.store import Archive
from voiceassist.archive.words import (
    MOST_BYTES,
    MOST_WORDS,
    Term,
    as_document,
    for_postgresql,
    plain_words,
    terms,
    vector,
)
from voiceassist.errors import ArchiveError
from voiceassist.record.summary import summary

AT = {"at": "2026-01-02T08:00:00Z"}


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("Connector was GREEN", ["connector", "was", "green"]),
        ("café Œuvre Straße", ["cafe", "œuvre", "strasse"]),
        ("twelve-point_six, (oh)!", ["twelve", "point", "six", "oh"]),
        ("12.60 V", ["12", "60", "v"]),
        ("전압 십이 볼트", ["전압", "십이", "볼트"]),
        ("... -- ''", []),
    ],
)
def test_text_becomes_plain_words(text: str, found: list[str]) -> None:
    assert plain_words(text) == found


def test_what_is_asked_for_is_words_words_in_a_row_and_beginnings() -> None:
    asked = terms('green "say again" conn*', "--said")
    assert asked == (Term(("green",)), Term(("say", "again")), Term(("conn",), open_end=True))


def test_neighbours_are_kept_as_pairs_beside_their_words() -> None:
    assert vector("say again say") == "'say':1,3 'again':2 '+say again' '+again say'"
    assert for_postgresql(terms("green conn*", "")) == "'green' & 'conn':*"
    assert for_postgresql(terms('"say aga*"', "")) == "'+say aga':*"
    assert for_postgresql(terms('"a b c*"', "")) == "'+a b' & '+b c':* & ('a' <-> 'b' <-> 'c':*)"


@pytest.mark.parametrize("asked", ["", " ", "*", '""', "-- !"])
def test_a_question_without_a_word_is_refused(asked: str) -> None:
    with pytest.raises(ArchiveError, match=r"--said: found no word"):
        terms(asked, "--said")


def test_a_very_long_session_is_cut_where_a_database_would_refuse_it(archive: Archive) -> None:
    assert len(as_document(["o"] * (MOST_WORDS + 5)).split()) == MOST_WORDS
    long = as_document(["ü" * 30] * MOST_WORDS)
    assert MOST_BYTES * 0.9 < len(long.encode()) <= MOST_BYTES
    put(archive, "a", ["green", *[f"w{n}" for n in range(MOST_WORDS)]])
    put(archive, "b", ["green", *[f"{n:x}" * 20 for n in range(10_000, 18_000)], "x" * 5000])
    assert [row["folder"] for row in archive.find(Wanted(said="green"))] == ["b", "a"]


SAID = {
    "a": ["the connector was green", "twelve point six oh volts"],
    "b": ["connector is clean", "say again"],
    "c": ["전압 십이 12볼트", "1e5 12.60 o'clock café 볼트"],
}


def put(archive: Archive, folder: str, said: list[str]) -> None:
    told = summary([{**head(), **AT}, *({**heard(words), **AT} for words in said)])
    archive.put([TakenSession(folder, told, ["00"])])


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ("connector", {"a", "b"}),
        ("CONNECTOR green", {"a"}),
        ("green clean", set()),
        ('"connector was"', {"a"}),
        ('"was connector"', set()),
        ('"say again" clean', {"b"}),
        ("conn*", {"a", "b"}),
        ("conn", set()),
        ('"point si*"', {"a"}),
        ("볼트", {"c"}),
        ("12볼트", {"c"}),
        ('"십이 12볼트"', {"c"}),
        ('"twelve point six oh volts"', {"a"}),
        ('"twelve point oh"', set()),
        ('"point six o*"', {"a"}),
        ("cafe", {"c"}),
        ("1e5", {"c"}),
        ("12.60", {"c"}),
        ("the", {"a"}),  # no word is too common to be found
        ("and or not near", set()),
        ('green" OR "clean', set()),
        ("a') OR 1=1 --", set()),
        ("said : connector", set()),
        ("green & !clean | x", set()),
    ],
)
def test_words_are_found_alike_in_each_database(
    standing: Archive, asked: str, found: set[str]
) -> None:
    if not standing.known():
        for folder, said in SAID.items():
            put(standing, folder, said)
    assert {row["folder"] for row in standing.find(Wanted(said=asked))} == found
