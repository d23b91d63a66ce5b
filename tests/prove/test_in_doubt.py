"""The way of one who is not sure is walked too: no good part may be condemned on it."""

from prove.shop import LAMP, changed, proved

from voiceassist.prove.examined_failures import failures
from voiceassist.prove.examined_tables import lines

LAMP_FINDING = "  lamp: {cause: the lamp has failed, correction: change it}"
CONDEMNS = (
    LAMP_FINDING,
    LAMP_FINDING[:-1] + ", condemns: side lamp, proved-by: {earth: earth}, prove-with: [whole]}",
)


def with_doubt(way: str) -> str:
    """The lamp's procedure with a question first, and ``way`` for one who is not sure."""
    shines = (
        "steps:\n  shines:\n    ask: does the lamp shine\n    answers: {yes: good, no: battery}\n"
        f"    not-sure: {way}\n"
    )
    answers = "  answers: {shines: yes}\n  plugs:"
    no = "found-as: "
    text = changed(LAMP, ("steps:\n", shines), ("  plugs:", answers), CONDEMNS)
    head, _, faults = text.partition("faults:")
    faults = faults.replace(no, f"answers: {{shines: no}}, {no}")
    return f"{head}faults:{faults}"


def told(text: str) -> tuple[list[str], list[str]]:
    _, proof = proved(text)
    assert proof.examined is not None
    messages = [failure.message for failure in failures(proof.examined)]
    return messages, list(lines(proof.examined))


def test_a_way_that_proves_as_much_is_counted_and_no_error() -> None:
    messages, table = told(with_doubt("battery"))
    assert not any("not sure" in one for one in messages)
    head = table.index("answers in doubt (found, called otherwise, open):")
    faults = LAMP.partition("faults:")[2].count("found-as")
    assert table[head + 1] == f"  shines not sure: {faults + 1}, 0, 0 of {faults + 1}"


def test_a_way_that_condemns_a_good_part_is_an_error() -> None:
    """The earth that is asked for before proves too little."""
    messages, _ = told(with_doubt("lamp"))
    found = [one for one in messages if "answer 'not sure' at 'shines' condemns the good" in one]
    assert any("on a good vehicle" in one for one in found), messages
