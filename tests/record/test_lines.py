"""Lines of a journal in their types: nothing is lost, and nothing odd stops a reader."""

from dataclasses import fields as parts_of
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from running import call
from shelf import END, FINDING, head, heard, reading, verdict

from voiceassist.record import fields
from voiceassist.record import lines as kinds
from voiceassist.record.entry import CHAIN_FIELDS
from voiceassist.record.folder import sessions
from voiceassist.record.lines import KINDS, Line, Other, line_of, of_kind, typed
from voiceassist.record.read_journal import read
from voiceassist.session.outputs import Output, kept_kinds

ODD = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner),
    max_leaves=6,
)


KEPT = sorted({one.event: one for one in Output.__subclasses__()}.items())


@pytest.mark.parametrize(("event", "output"), KEPT)
def test_every_field_that_the_session_gives_out_has_its_name_here(
    event: str, output: type[Output]
) -> None:
    if event not in kept_kinds():
        assert event not in KINDS
        return
    known = KINDS[output.event].fields()
    assert {part.name for part in parts_of(output)} <= set(known)


def test_a_line_is_all_that_stands_in_it() -> None:
    for written in [head(), heard("eight volts"), reading("8.4"), verdict("8.4 V", "low"), END]:
        line = line_of(written)
        assert dict(line) == written
        assert type(line).kind == line.event == written["event"]
        assert line_of(line) is line


def test_what_a_newer_version_wrote_is_kept_and_named() -> None:
    newer = {"event": "reading", "value": "8.4", "shown": "8.4 V", "colour": "blue"}
    line = line_of(newer)
    assert isinstance(line, kinds.ReadingLine)
    assert line.shown == "8.4 V"
    assert line.unknown == ("colour",)
    other = line_of({"event": "hologram", "depth": 3, "step": "feed"})
    assert isinstance(other, Other)
    assert (other.event, other.step, other["depth"]) == ("hologram", "feed", 3)
    assert other.unknown == ("depth",)


@given(
    kind=st.sampled_from(sorted(KINDS)),
    values=st.dictionaries(st.text(max_size=8), ODD, max_size=3),
    odd=ODD,
)
def test_no_value_of_a_wrong_type_stops_a_reader(
    kind: str, values: dict[str, object], odd: object
) -> None:
    fields = KINDS[kind].fields()
    line = line_of({**values, **dict.fromkeys(fields, odd), "event": kind})
    for name in fields:
        getattr(line, name)
    empty = line_of({"event": kind})
    assert [name for name in fields if getattr(empty, name)] == []


def test_a_line_is_written_with_fields_of_its_kind_alone() -> None:
    made = kinds.Addendum.made(words="the wire broke again", by="Kim", step="", text="")
    assert dict(made) == {
        "event": "addendum",
        "words": "the wire broke again",
        "by": "Kim",
        "step": "",
        "text": "",
    }
    for wrong in ({"word": "x"}, {"words": 5}):
        with pytest.raises(TypeError, match="Addendum has no field"):
            kinds.Addendum.made(**wrong)


def test_lines_are_found_by_their_kind() -> None:
    found = typed([head(), reading("1"), FINDING, reading("2"), END])
    assert [line.figures for line in of_kind(found, kinds.ReadingLine)] == ["1 V", "2 V"]
    assert len(list(of_kind(found, Line))) == len(found)


def test_every_line_of_a_real_session_has_a_kind_and_no_unknown_field(tmp_path: Path) -> None:
    said = ["no", "affirm", "done", "why", "twelve point six volts", "correction twelve volts"]
    said += ["note a rusty earth", "skip", "finish", "yes"]
    options = ("--typed", "--silent", "--records", str(tmp_path), "--set", "technician=Kim")
    call("run", "dim-headlamp", *options, typed="\n".join(said) + "\n")
    (folder,) = sessions(tmp_path)
    found = typed([entry.fields for entry in read(folder.journal)])
    assert len({line.event for line in found}) > 6
    for line in found:
        assert not isinstance(line, Other), line
        assert not line.unknown, line
        wrong = [n for n, field in line.fields().items() if n in line and not _fits(line, n)]
        assert not wrong, (wrong, line)
        assert set(line) >= CHAIN_FIELDS


def _fits(line: Line, name: str) -> bool:
    value = line[name]
    return value is None or line.fields()[name].fits(value)


# --- what a field reads, and what fits it ---

FLAG, NUMBER, TEXTS = fields.flag(), fields.number(), fields.texts()
PARTS, PART, TEXT, WHOLE = fields.parts(), fields.part(), fields.text(), fields.whole()


@pytest.mark.parametrize(
    ("field", "value", "fits"),
    [
        (FLAG, True, True), (FLAG, 1, False), (FLAG, None, False),
        (NUMBER, 1.5, True), (NUMBER, 2, True), (NUMBER, True, False), (NUMBER, "2", False),
        (TEXTS, ["a", "b"], True), (TEXTS, [], True), (TEXTS, ["a", 1], False),
        (TEXTS, "a", False), (TEXTS, None, False),
        (PARTS, [{"a": 1}], True), (PARTS, [], True), (PARTS, [{}, 1], False),
        (PARTS, {}, False), (PARTS, None, False),
        (PART, {"a": 1}, True), (PART, [], False),
        (TEXT, "a", True), (TEXT, 1, False),
        (WHOLE, 3, True), (WHOLE, True, False), (WHOLE, 3.0, False),
    ],
)  # fmt: skip
def test_only_what_is_of_its_type_fits_a_field(
    field: fields.Field[object], value: object, fits: bool
) -> None:
    assert field.fits(value) is fits


def test_what_is_of_another_type_reads_as_nothing() -> None:
    part = line_of({"event": "heard", "words": ["a"], "meanings": {"kind": "answer"}})
    assert isinstance(part, kinds.Heard)
    assert part.meanings == ({"kind": "answer"},)  # one alone
    many = line_of({"event": "heard", "meanings": [{"kind": "answer"}, 3, {"kind": "lamp"}]})
    assert isinstance(many, kinds.Heard)
    assert [each["kind"] for each in many.meanings] == ["answer", "lamp"]
    assert many.words == ""


def test_words_are_told_on_one_line_and_kept_as_they_were_said() -> None:
    line = line_of({"event": "heard", "words": "eight\n volts", "reason": " too\tlow"})
    assert isinstance(line, kinds.Heard)
    assert (line.words, line.as_said) == ("eight volts", "eight\n volts")
    assert (line.reason, line.as_reasoned) == ("too low", " too\tlow")
    odd = line_of({"event": "heard", "words": 8, "reason": None})
    assert isinstance(odd, kinds.Heard)
    assert (odd.as_said, odd.as_reasoned) == ("", "")


def test_an_object_within_a_line_is_read_and_what_is_none_is_empty() -> None:
    for facts, found in (({"repair order": "1042"}, "1042"), (3, None)):
        line = line_of(head(facts=facts))
        assert isinstance(line, kinds.SessionLine)
        assert line.facts.get("repair order") == found


def test_a_line_is_equal_to_all_that_holds_the_same_and_to_nothing_else() -> None:
    written = reading("8.4")
    line = line_of(written)
    assert line == written
    assert line == line_of(dict(written))
    assert line != written | {"step": "earth"}
    assert line != list(written.items())
    assert hash(line) == hash(line_of(written | {"step": "earth"}))
    assert repr(line_of(END)) == f"End({END!r})"


def test_a_line_can_be_read_as_the_mapping_that_it_is() -> None:
    written = reading("8.4")
    line = line_of(written)
    assert (list(line.keys()), list(line.values())) == (list(written), list(written.values()))
    assert list(line.items()) == list(written.items())
    assert (line.get("value"), line.get("none"), line.get("none", 3)) == ("8.4", None, 3)
    assert ("value" in line, "none" in line, len(line)) == (True, False, len(written))
    assert list(line) == list(written)


def test_a_refused_field_is_named_with_what_it_was_given() -> None:
    told = "Addendum has no field 'words' that can be 5"
    with pytest.raises(TypeError, match=f"^{told}$"):
        kinds.Addendum.made(words=5)
    assert kinds.Addendum.made(words=None)["words"] is None


@pytest.mark.parametrize(
    ("value", "read"),
    [(1.5, 1.5), (2, 2.0), (True, None), ("2", None), (float("nan"), None), (10**400, None)],
)
def test_a_number_is_one_that_can_be_counted_with(value: object, read: float | None) -> None:
    assert line_of({"event": "say", "start_s": value}).start_s == read
