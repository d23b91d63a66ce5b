"""Which procedure a word means."""

from pathlib import Path

import pytest
import yaml

from voiceassist import resources
from voiceassist.app.catalogue import Listed, _listed, find, is_path, shipped

HORN = Listed("weak-horn", "Horn is weak", ("horn croaks", "no sound"), "an invented van, horn 2")
LAMP = Listed("dark-lamp", "A lamp is dark", ("one lamp only",), "an invented van, left lamp")
LAMP_24 = Listed("dark-lamp-lorry", "A lamp is dark, at 24 V", ("one lamp only",), "a lorry")
ALL = (HORN, LAMP, LAMP_24)


def fitting(asked: str) -> list[str]:
    return [each.name for each in find(asked, ALL).fitting]


def near(asked: str) -> list[str]:
    return [each.name for each in find(asked, ALL).near]


@pytest.mark.parametrize(
    "asked", ["weak-horn", "Weak-Horn", "horn", "rn", "ak-ho", "croak", "croaks", "no sound", "hor"]
)
def test_it_is_named_by_its_name_a_part_of_it_or_words_of_title_and_complaints(asked: str) -> None:
    assert fitting(asked) == ["weak-horn"]


def test_every_word_has_to_fit() -> None:
    assert fitting("lamp sound") == []
    assert fitting("lamp lorry") == ["dark-lamp-lorry"]


def test_what_fits_several_means_all_of_them_but_a_whole_name_means_one() -> None:
    assert fitting("lamp") == ["dark-lamp", "dark-lamp-lorry"]
    assert fitting("dark-lamp") == ["dark-lamp"]


def test_what_is_looked_at_counts_where_nothing_else_fits() -> None:
    assert fitting("left") == ["dark-lamp"]
    assert fitting("van") == ["weak-horn", "dark-lamp"]
    assert fitting("lorry") == ["dark-lamp-lorry"]


@pytest.mark.parametrize("asked", ["hron", "horm", "waek-horn", "weak-hron", "crokas"])
def test_a_slip_of_the_finger_is_near_and_no_more(asked: str) -> None:
    assert fitting(asked) == []
    assert near(asked) == ["weak-horn"]


@pytest.mark.parametrize("asked", ["", "  ", "???", "submarine", "x", "lmp", "a" * 5000, "\0"])
def test_what_is_like_nothing_means_nothing(asked: str) -> None:
    found = find(asked, ALL)
    assert (found.fitting, found.near) == ((), ())


@pytest.mark.parametrize(
    ("asked", "path"),
    [
        ("heater", False),
        ("a/heater", True),
        ("heater.yaml", True),
        ("a" * 5000, False),
        ("", False),
    ],
)
def test_a_path_is_told_by_its_looks(asked: str, path: bool) -> None:
    assert is_path(asked) is path


def test_every_shipped_procedure_is_found_by_its_name_and_has_something_to_go_by() -> None:
    every = shipped()
    assert len(every) > 10
    for each in every:
        assert find(each.name, every).fitting == (each,)
        assert each.title
        assert each.complaints


@pytest.mark.parametrize(
    ("asked", "first"),
    [
        ("flat overnight in the morning", "key-off-draw"),
        ("the window will not move", "window-motor"),
        ("my trailer has one dark lamp", "trailer-socket"),
        ("wipers stop on the glass again", "wiper-park"),
    ],
)
def test_a_sentence_that_fits_none_whole_is_offered_what_its_rare_words_tell_of(
    asked: str, first: str
) -> None:
    found = find(asked, shipped())
    assert found.fitting == ()
    assert found.near[0].name == first


def test_words_that_no_procedure_has_are_offered_nothing() -> None:
    assert find("quarterly results", shipped()).near == ()


def test_the_head_is_what_a_reader_of_the_whole_file_finds() -> None:
    """Held against PyYAML."""
    for each in shipped():
        file = resources.folder("procedures") / f"{each.name}.yaml"
        whole = yaml.load(file.read_text(encoding="utf-8"), Loader=yaml.CSafeLoader)
        told = whole["title"], tuple(whole.get("complaints", ())), whole["for"]
        assert (each.title, each.complaints, each.subject) == told


def test_a_head_is_found_wherever_it_stands_in_the_file(tmp_path: Path) -> None:
    file = tmp_path / "horn.yaml"
    written = "# Horns\nsteps:\n  one: {title: no}\nfor: a van\ncomplaints:\n- croaks\n"
    file.write_text(f"{written}# a remark\n- is mute\nbegin: one\ntitle: |\n  Weak\n", "utf-8")
    assert _listed(file) == Listed("horn", "Weak\n", ("croaks", "is mute"), "a van")
