"""A fact of words is asked once; steps that are not for the vehicle are left out."""

import pytest
from lines import Lines

from voiceassist.errors import MeasureError
from voiceassist.session.values import check_facts

TEXT = """
procedure: cold-seat
title: Seat stays cold
for: Wren 5 estate car (invented)
facts:
  seats: {say: which seats are fitted, words: {plain: [plain], heated: [heated, with heating]}}
  lamps: {say: which lamps has it, words: [halogen, led], value: halogen}
steps:
  feed:
    measure: voltage at the seat plug
    accept:
      by: lamps
      table: {halogen: at least 11 V, led: at least 12 V}
    low: weak
  mat:
    only-if: {seats: heated}
    measure: resistance of the mat
    accept: 1 Ω to 3 Ω
    fail: mat-open
  turns:
    ask: does the fan turn
    answers: {yes: seat, no: weak}
repairs:
  new-mat: {only-if: {seats: heated}, do: fit the mat}
  new-seat: {do: fit the seat}
findings:
  weak: {cause: weak, correction: mend it}
  mat-open: {cause: the mat is open, correction: change it}
  seat:
    cause: the seat is worn
    correction: change the seat
    condemns: seat
    proved-by: {feed: feed, mat: mat}
    repair: [new-mat, new-seat]
    prove-with: [feed]
"""


def begun(*facts: tuple[str, str]) -> Lines:
    return Lines(text=TEXT, facts=facts)


def test_the_question_comes_first_and_takes_the_words_it_lists() -> None:
    bench = begun()
    assert "Which seats are fitted?" in bench.texts()
    bench.type("with heating")
    assert (bench.step, bench.counting) == ("feed", {"seats": "heated"})
    bench.type("twelve volts")
    assert bench.step == "mat"


def test_what_is_not_fitted_is_left_out_and_said_so() -> None:
    bench = begun()
    bench.type("plain")
    said = bench.type("twelve volts")
    assert said.endswith("Good. Mat is not for this vehicle. Does the fan turn?")
    assert bench.step == "turns"


def test_a_part_is_condemned_without_a_proof_that_the_vehicle_cannot_give() -> None:
    bench = begun()
    bench.type("plain", "twelve volts", "yes")
    assert bench.session.finding == "seat"
    assert not bench.session.suspected
    said = bench.type("affirm")
    assert "New mat is not for this vehicle. Fit the seat" in said
    assert bench.step == "new-seat"


def test_with_the_part_fitted_its_proof_is_asked_for() -> None:
    bench = begun()
    bench.type("heated", "twelve volts", "skip", "no access", "yes")
    assert bench.session.suspected
    assert bench.step == "mat"


def test_a_fact_that_is_given_is_not_asked_for() -> None:
    bench = begun(("seats", "with heating"))
    assert bench.step == "feed"
    bench.type("twelve volts")
    assert bench.step == "mat"


@pytest.mark.parametrize(("lamps", "passes"), [("halogen", True), ("led", False), ("", True)])
def test_a_table_goes_by_the_word_of_the_job_or_of_the_file(lamps: str, passes: bool) -> None:
    given = (("lamps", lamps),) if lamps else ()
    bench = begun(("seats", "plain"), *given)
    bench.type("eleven point five volts")
    assert bench.session.ledger[-1].passed is passes


def test_a_word_that_the_fact_does_not_know_is_refused_with_those_it_does() -> None:
    procedure = begun().engine.setup.procedure
    check_facts(procedure, {"seats": "Heated"})
    with pytest.raises(MeasureError) as caught:
        check_facts(procedure, {"seats": "leather"})
    assert str(caught.value) == (
        "'leather' is no answer for 'seats', which seats are fitted; write one of plain, heated"
    )
    with pytest.raises(MeasureError, match="did you mean 'seats'"):
        check_facts(procedure, {"seat": "plain"})


def test_a_corrected_word_takes_the_other_path() -> None:
    bench = begun()
    bench.type("plain", "twelve volts")
    assert bench.step == "turns"
    bench.type("change a reading", "seats", "heated")
    assert bench.step == "mat"
