"""Times are written and read as RFC 3339 has them."""

import re
import time
from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voiceassist.record.times import here, parsed, steps_back, written


# RFC 3339 section 5.8, from memory; the leap seconds as the moment after them.
@pytest.mark.parametrize(
    ("text", "moment"),
    [
        ("1985-04-12T23:20:50.52Z", datetime(1985, 4, 12, 23, 20, 50, 520_000, UTC)),
        ("1996-12-19T16:39:57-08:00", datetime(1996, 12, 20, 0, 39, 57, 0, UTC)),
        ("1990-12-31T23:59:60Z", datetime(1991, 1, 1, tzinfo=UTC)),
        ("1990-12-31T15:59:60-08:00", datetime(1991, 1, 1, tzinfo=UTC)),
        ("1937-01-01T12:00:27.87+00:20", datetime(1937, 1, 1, 11, 40, 27, 870_000, UTC)),
        ("1985-04-12t23:20:50.52z", datetime(1985, 4, 12, 23, 20, 50, 520_000, UTC)),
    ],
)
def test_the_examples_of_the_standard_are_read(text: str, moment: datetime) -> None:
    assert parsed(text) == moment


# RFC 3339 section 5.6 (ABNF) and 5.7 (restrictions).
@pytest.mark.parametrize(
    "text",
    [
        "",
        "1985-04-12T23:20:50",
        "1985-04-12 23:20:50Z",
        "19850412T232050Z",
        "1985-W15-5T23:20:50Z",
        "1985-04-12T23:20:50,52Z",
        "1985-04-12T23:20:50.Z",
        "1985-04-12T23:20Z",
        "1985-04-12T24:00:00Z",
        "1985-04-31T23:20:50Z",
        "1985-04-12T23:20:50+24:00",
        "1985-04-12T23:20:50+01:60",
        "1985-04-12T23:20:50+0100",
        "1985-04-12T23:20:60Z",
        "1985-04-12T23:59:60Z",
        "1985-04-12T23:20:61Z",
        "１985-04-12T23:20:50Z",
        "1985-04-12T23:20:50Z\n",
    ],
)
def test_what_the_standard_forbids_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r".+"):
        parsed(text)


def test_a_time_is_written_to_the_millisecond_with_its_offset() -> None:
    berlin = timezone(timedelta(hours=1))
    moment = datetime(2026, 1, 2, 8, 0, 0, 5_999, berlin)
    assert written(moment) == "2026-01-02T08:00:00.005+01:00"


def test_a_time_without_offset_is_never_written() -> None:
    with pytest.raises(ValueError, match="offset"):
        written(datetime(2026, 1, 2, 8, 0))


def test_an_offset_of_odd_seconds_is_written_in_utc() -> None:
    odd = timezone(timedelta(minutes=19, seconds=32))
    assert written(datetime(1930, 1, 1, 12, 0, 0, 0, odd)) == "1930-01-01T11:40:28.000+00:00"


@given(
    st.datetimes(
        min_value=datetime(1000, 1, 2),
        max_value=datetime(9998, 1, 1),
        timezones=st.integers(-23 * 60, 23 * 60).map(lambda m: timezone(timedelta(minutes=m))),
    )
)
def test_what_is_written_is_read_back_to_the_millisecond(moment: datetime) -> None:
    exact = moment.replace(microsecond=moment.microsecond // 1000 * 1000)
    assert parsed(written(moment)) == exact
    assert parsed(written(moment)).utcoffset() == moment.utcoffset()


def test_a_leap_second_at_the_end_of_all_years_is_no_moment() -> None:
    with pytest.raises(ValueError, match="past the last year"):
        parsed("9999-12-31T23:59:60Z")


def test_a_clock_that_runs_back_is_told_by_line_and_seconds_but_not_when_it_is_put_right() -> None:
    seconds = (0, 30, 25, 20, 13.6, 14)
    lines = [
        {"seq": n, "at": written(datetime(2026, 1, 2, 8, 0, tzinfo=UTC) + timedelta(seconds=s))}
        for n, s in enumerate(seconds, 1)
    ]
    assert steps_back(lines) == ((5, 6),)  # 5 s are put right without a word, 6.4 s are not
    assert steps_back(lines[:4]) == ()
    assert steps_back([{"at": "2026-01-02T08:01:00Z"}, {"at": "2026-01-02T08:00:00Z"}]) == (
        (0, 60),
    )


def test_a_moment_is_given_by_the_clock_on_the_wall() -> None:
    moment = datetime(2026, 1, 2, 8, 0, tzinfo=UTC)
    assert here(moment) == moment
    assert here().utcoffset() is not None
    assert abs((here() - datetime.now(UTC)).total_seconds()) < 60


def test_where_the_computer_has_an_offset_that_no_place_has_utc_is_given(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("TZ", "ODD-99:00")  # POSIX lets an offset have 24 hours at the most
    time.tzset()
    try:
        moment = datetime(2026, 1, 2, 8, 0, tzinfo=UTC)
        assert here(moment) == moment
        assert abs((here() - datetime.now(UTC)).total_seconds()) < 60
    finally:
        monkeypatch.undo()
        time.tzset()


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("noon", "'noon' is not a date and time with offset, as RFC 3339 has it"),
        ("1985-04-12T23:20:50+24:00", "+24:00 is an offset of more than 23:59"),
        ("1985-04-12T23:20:50-01:60", "-01:60 is an offset of more than 23:59"),
        (
            "1985-04-12T23:59:60Z",
            "'1985-04-12T23:59:60Z' has a leap second where there can be none",
        ),
        ("9999-12-31T23:59:60Z", "'9999-12-31T23:59:60Z' is past the last year there is"),
    ],
)
def test_what_is_no_moment_is_told_in_full(text: str, told: str) -> None:
    with pytest.raises(ValueError, match=rf"^{re.escape(told)}$"):
        parsed(text)


def test_a_leap_second_keeps_its_fraction_and_what_is_finer_is_cut_off() -> None:
    assert parsed("1990-12-31T23:59:60.5Z") == datetime(1991, 1, 1, 0, 0, 0, 500_000, UTC)
    assert parsed("1990-12-31T23:59:60.1234567Z").microsecond == 123_456


def test_a_time_without_its_offset_is_told_in_full() -> None:
    told = "a time without its offset from UTC cannot be kept"
    with pytest.raises(ValueError, match=rf"^{told}$"):
        written(datetime(2026, 1, 2, 8, 0))
