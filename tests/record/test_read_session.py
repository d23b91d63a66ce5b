"""A journal read once: what was asked, done, warned of and left, and how long each step took."""

from shelf import FINDING, head, heard, reading

from voiceassist.record.read_session import ReadSession, read_session

Line = dict[str, object]
ASK: Line = {"event": "ask", "step": "feed", "text": "Measure the voltage."}
AGAIN: Line = {"event": "ask", "step": "feed", "text": "Volts or millivolts?"}
FELL: Line = {"event": "finding-withdrawn", "name": "fuse"}
END: Line = {"event": "end", "outcome": "found"}
PARKED: Line = {"event": "parked", "reason": "parts"}
BACK: Line = {"event": "returned", "away_s": 4}


def session(*lines: Line) -> ReadSession:
    """The lines a second apart, unless they bring their second."""
    made = []
    for n, line in enumerate(lines, 1):
        second = line.get("second", n)
        made.append({"seq": n, "at": f"2026-01-02T08:00:{second:02}.000Z", **line})
    return ReadSession(made)


def done(task: str) -> Line:
    return {"event": "done", "step": "fit", "task": task}


# --- the job ---


def test_a_session_that_was_read_is_not_read_again() -> None:
    read = session(head())
    assert read_session(read) is read
    assert read_session([head()]).head.title == "A lamp does not light"


def test_a_journal_that_does_not_begin_with_a_session_has_an_empty_head() -> None:
    assert session(ASK, head()).head.title == ""
    assert session().head.title == ""


def test_only_a_rehearsal_that_no_procedure_led_is_free() -> None:
    assert session(head(rehearsal={"mode": "free"})).is_free
    assert not session(head(rehearsal={"mode": "led"})).is_free
    assert not session(head()).is_free


def test_the_complaint_is_the_one_summed_up_then_the_one_told_then_the_title() -> None:
    told = head(facts={"Complaint": "it is dark"})
    assert session(head()).complaint == "A lamp does not light"
    assert session(told).complaint == "it is dark"
    summed: Line = {"event": "summary", "complaint": "the left\n lamp"}
    assert session(told, {"event": "summary", "complaint": "x"}, summed).complaint == (
        "the left lamp"
    )
    assert session(head()).summed_up("complaint") == ""


def test_a_job_is_parked_until_it_is_gone_on_with_or_ended() -> None:
    assert session(head()).parked == ""
    assert session(head(), PARKED).parked == "parts"
    assert session(head(), PARKED | {"reason": ""}).parked == "other"
    assert session(head(), PARKED, BACK).parked == ""
    assert session(head(), PARKED, BACK, PARKED | {"reason": "shows"}, ASK).parked == "shows"
    assert session(head(), PARKED, END).parked == ""


# --- what was found and done ---


def test_work_counts_for_the_finding_that_stands_and_what_was_done_for_one_that_fell_is_told() -> (
    None
):
    other = FINDING | {"name": "bulb", "cause": "the bulb is open"}
    read = session(
        head(), done("before"), FINDING, done("first"), FELL, done("between"), other, done("last")
    )
    assert [line.task for line in read.done_before] == ["first"]
    assert [line.task for line in read.done] == ["last"]
    assert (read.finding.name, read.finding_place) == ("bulb", 6)
    assert [each.name for each in read.findings] == ["bulb"]


def test_where_no_finding_stands_no_work_is_done_for_one() -> None:
    read = session(head(), FINDING, done("first"), FELL, done("after"))
    assert read.done == ()
    assert [line.task for line in read.done_before] == ["first"]
    assert (read.last_finding, read.finding_place, read.finding.name) == (None, -1, "")


def test_a_finding_told_again_stands_where_it_was_told_first() -> None:
    read = session(head(), FINDING, done("first"), FINDING | {"because": ["feed: 0.2 V"]})
    assert read.finding_place == 1
    assert [line.task for line in read.done] == ["first"]
    assert read.finding.because == ("feed: 0.2 V",)


def test_a_caution_is_told_as_it_was_spoken_last_before_it_was_acknowledged() -> None:
    hot: Line = {"event": "caution", "name": "hot", "text": "CAUTION: it is hot."}
    known: Line = {"event": "acknowledged", "names": ["hot", "live"]}
    read = session(head(), hot, hot | {"text": "CAUTION: hot."}, known, hot | {"text": "Later."})
    assert [(each.name, each.caution.text, each.at[17:19]) for each in read.warned] == [
        ("hot", "CAUTION: hot.", "04"),
        ("live", "", "04"),
    ]
    assert session(head(), hot).warned == ()


# --- steps, readings, words ---


def test_each_stay_lasts_until_the_next_begins_and_the_last_until_the_journal_ends() -> None:
    other = ASK | {"step": "earth"}
    read = session(head(), ASK, heard("one"), reading("12.6"), other, heard("two"), ASK, END)
    told = [(each.step, each.began[17:19], each.ended[17:19]) for each in read.stays]
    assert told == [("", "01", "02"), ("feed", "02", "05"), ("earth", "05", "07"),
                    ("feed", "07", "08")]  # fmt: skip
    assert [len(each.lines) for each in read.stays] == [1, 3, 2, 2]
    assert [each.seconds for each in read.stays] == [1, 3, 2, 1]


def test_a_stay_that_begins_with_the_last_line_ends_there() -> None:
    before, last = session(head(), ASK, ASK | {"step": "earth"}).stays[1:]
    assert (before.ended[17:19], last.began[17:19], last.ended[17:19]) == ("03", "03", "03")
    assert last.seconds == 0


def test_time_that_a_session_was_cut_off_is_no_part_of_a_stay() -> None:
    (stay,) = session(ASK, BACK | {"second": 9}).stays
    assert stay.seconds == 8 - 4
    (short,) = session(ASK, BACK | {"second": 2}).stays
    assert short.seconds == 0


def test_a_correction_of_an_earlier_step_leads_nowhere_and_a_skip_does() -> None:
    skipped: Line = {"event": "skipped", "step": "earth", "reason": "no-access"}
    earlier = reading("12.5", step="battery", corrects=True)
    assert [each.step for each in session(ASK, earlier, skipped).stays] == ["feed", "earth"]
    computed = reading("0.2", step="drop")
    assert [each.step for each in session(ASK, computed).stays] == ["feed", "drop"]


def test_words_stand_with_all_that_came_of_them_until_the_next_words() -> None:
    read = session(head(), heard("one"), ASK, reading("1"), heard("two"), AGAIN)
    first, second = read.exchanges
    assert (first.heard.words, [line.event for line in first.answers]) == (
        "one",
        ["ask", "reading"],
    )
    assert (second.heard.words, [line.event for line in second.answers]) == ("two", ["ask"])


def test_what_was_asked_instead_of_taking_the_words_is_their_question() -> None:
    value: Line = {"kind": "reading", "value": "8.4", "unit": "V"}
    clear = heard("eight point four", meanings=[value])
    two = heard("eight four", meanings=[value, value | {"unit": "mV"}])
    for said in (two, clear | {"doubtful": True}, heard("mumble", meanings=[])):
        assert session(said, reading("1"), AGAIN, ASK).exchanges[0].question == AGAIN["text"]
        assert session(said).exchanges[0].question == ""
    assert session(clear, AGAIN).exchanges[0].question == AGAIN["text"]  # nothing else came of it
    assert session(clear, reading("8.4"), AGAIN).exchanges[0].question == ""
    assert session(clear).exchanges[0].question == ""
    done_it = heard("done", meanings=[{"kind": "answer", "name": "done"}])
    assert session(done_it, AGAIN).exchanges[0].question == ""
    assert session({"event": "heard", "words": "done"}, AGAIN).exchanges[0].question == ""


def test_a_verdict_is_found_by_its_line_and_each_line_has_its_place() -> None:
    good: Line = {"event": "verdict", "step": "feed", "verdict": "pass"}
    read = session(head(), ASK, good, FINDING)
    assert {seq: line.verdict for seq, line in read.verdicts.items()} == {3: "pass"}
    assert list(read.places) == ["", "feed", "feed", "fuse"]


# --- times ---


def test_the_most_that_the_clock_was_set_back_is_told() -> None:
    assert session(head(), ASK).set_back_s == 0
    back = session(head(second=50), ASK | {"second": 30}, ASK | {"second": 40}, END | {"second": 9})
    assert back.set_back_s == 31


def test_what_was_added_after_the_end_is_no_line_of_the_job() -> None:
    read = session(head(), END, {"event": "addendum", "words": "it came back", "by": "Kim"})
    assert [line.event for line in read.job_lines] == ["session", "end"]
    assert [(one.author, one.words) for one in read.addenda] == [("Kim", "it came back")]
    assert read.worked_s == 1
