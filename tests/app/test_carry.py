"""What of one part of a job counts in the next: only the same test, and only as it is now."""

from datetime import datetime, timedelta
from decimal import Decimal
from pathlib import Path

import pytest
from bench import BOOK

from voiceassist.app.build import Written
from voiceassist.app.intake.carry import Handover, facts_for, known_before
from voiceassist.language.codec import to_json
from voiceassist.language.meanings import Answer, Correction, Meaning, Reading
from voiceassist.measure.units import unit
from voiceassist.procedure.read import read_procedure
from voiceassist.record.folder import SessionFolder
from voiceassist.record.journal import Journal
from voiceassist.session.session import SessionSetup

_USED = """
procedure: posts
title: the posts
for: an invented vehicle
steps:
  battery: {measure: voltage across the posts, accept: 12 V to 13 V, fail: flat, then: fine}
repairs:
  charge: {do: charge it}
findings:
  flat: {cause: it is flat, correction: charge it, repair: [charge], go-on: battery}
  fine: {cause: it is good, correction: go on, no-fault: true}
"""
_USER = """
procedure: NAME
title: the NAME
for: an invented vehicle
steps:
  power: {use: posts, go: {fine: look}}
  look: {measure: voltage at the plug, accept: at least 11 V, then: good, fail: bad}
findings:
  good: {cause: all is well, correction: nothing to do, prove-with: [look]}
  bad: {cause: it is bad, correction: mend it, repair: [mend], prove-with: [look]}
repairs:
  mend: {do: mend it}
"""
_FACTS = """
facts:
  fuse: {say: the fuse, unit: A}
  length: {say: how long the NAME takes, unit: s}
"""
_AT = datetime.fromisoformat("2026-11-30T10:00:00+00:00")


def written(name: str, used: str = _USED) -> Written:
    text = _USER.replace("NAME", name)
    return Written(read_procedure(text, name, lambda _: used), text, {"posts": used})


def volts(value: str) -> Reading:
    return Reading(Decimal(value), unit("V"))


FAN, WIPER = written("fan"), written("wiper")


def told(home: Path, *said: Meaning, session: str = "20261130-100000-fan-1234") -> SessionFolder:
    """The record of a job in which this was said, a minute after another."""
    folder = SessionFolder(home / session)
    folder.path.mkdir()
    clock = iter(_AT + timedelta(minutes=minute) for minute in range(99))
    with Journal.create(folder.journal, lambda: next(clock)) as journal:
        journal.append([{"event": "session", "procedure": "fan", "facts": {"repair order": "7"}}])
        for meaning in said:
            heard = {"event": "heard", "words": "x", "certain": True, "end_s": 0.0}
            journal.append([{**heard, "meanings": [to_json(meaning)]}])
    return folder


def known(folder: SessionFolder, to: Written = WIPER, minutes: int = 5) -> Handover:
    now = _AT + timedelta(minutes=minutes)
    return known_before(folder, FAN, SessionSetup(FAN.procedure, BOOK), to, now)


def shown(found: Handover) -> list[tuple[str, str]]:
    return [(each.step, str(each.reading.value)) for each in found.carried]


def test_the_same_step_of_the_same_used_file_is_carried_with_its_digits(tmp_path: Path) -> None:
    found = known(told(tmp_path, volts("12.60")))
    assert shown(found) == [("power-battery", "12.60")]
    assert (found.carried[0].job, found.carried[0].session) == ("fan", "20261130-100000-fan-1234")
    assert found.facts == {"repair order": "7"}


def test_a_step_of_its_own_is_not_carried_however_alike_it_is_told(tmp_path: Path) -> None:
    found = known(told(tmp_path, volts("12.6"), volts("12.4")))
    assert shown(found) == [("power-battery", "12.6")]


def test_a_used_file_that_differs_by_a_word_is_another(tmp_path: Path) -> None:
    other = written("wiper", _USED.replace("12 V to 13 V", "12 V to 12.9 V"))
    assert not known(told(tmp_path, volts("12.6")), other).carried


@pytest.mark.parametrize(
    ("minutes", "carried"), [(1, True), (60, True), (62, False), (-5, False), (100_000, False)]
)
def test_only_what_was_read_within_the_hour_counts(
    tmp_path: Path, minutes: int, carried: bool
) -> None:
    assert bool(known(told(tmp_path, volts("12.6")), minutes=minutes).carried) is carried


def test_what_failed_or_was_corrected_is_not_carried(tmp_path: Path) -> None:
    assert not known(told(tmp_path, volts("11.2"))).carried


def test_a_correction_counts_in_place_of_what_it_corrects(tmp_path: Path) -> None:
    folder = told(tmp_path, volts("12.6"), Correction(volts("12.3"), "power-battery"))
    assert shown(known(folder)) == [("power-battery", "12.3")]


_DONE, _YES = Answer("done"), Answer("affirm")


def test_nothing_that_was_read_before_a_repair_is_carried(tmp_path: Path) -> None:
    mended = (volts("12.6"), volts("9"), _YES, _DONE)
    assert not known(told(tmp_path, *mended, volts("12.4"))).carried


def test_once_it_is_charged_only_what_was_read_since_is_carried(tmp_path: Path) -> None:
    charged = (volts("11.2"), _YES, _DONE)
    assert not known(told(tmp_path, *charged)).carried
    (tmp_path / "later").mkdir()
    since = told(tmp_path / "later", *charged, volts("12.7"))
    assert shown(known(since)) == [("power-battery", "12.7")]


def test_a_record_that_was_altered_tells_nothing(tmp_path: Path) -> None:
    folder = told(tmp_path, volts("12.6"))
    folder.journal.write_text(folder.journal.read_text("utf-8").replace("12.6", "12.7"), "utf-8")
    found = known(folder)
    assert found.altered
    assert not found.facts
    assert not found.carried


def test_a_fact_that_a_limit_uses_is_taken_over_where_both_mean_the_same() -> None:
    facts = {"fuse": "10 A", "length": "3 s", "vehicle": "number 7"}
    fan, wiper = (read_procedure((_USER + _FACTS).replace("NAME", name), name, lambda _: _USED)
                  for name in ("fan", "wiper"))  # fmt: skip
    kept = facts_for(fan, wiper, facts)
    assert kept == {"fuse": "10 A", "vehicle": "number 7"}
