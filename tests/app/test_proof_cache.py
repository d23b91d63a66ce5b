"""What was proved is not proved again until something changes that it hangs on."""

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from prove.shop import LAMP, changed

from voiceassist import resources
from voiceassist.app.build import Components
from voiceassist.app.desk.check import Checker, FileReport
from voiceassist.app.desk.proof_cache import ProofCache, key_of
from voiceassist.app.desk.prove import ProofSource, Prover
from voiceassist.app.settings.settings import Settings
from voiceassist.prove.proof import Proof
from voiceassist.session.session import SessionSetup

WRONG = changed(LAMP, ("    high: earth-side\n", "    high: earth-side\n    then: good\n"))
SOURCE = ProofSource.of(LAMP, "side-lamp.yaml", Settings(), {})


def checked(folder: Path, text: str = LAMP, draws: int = 2) -> tuple[FileReport, int]:
    """The report of ``text``, and how many walks were made for it."""
    file = folder / "side-lamp.yaml"
    file.write_text(text, encoding="utf-8")
    walks: list[int] = []
    with Prover(draws, workers=1, progress=lambda done, of: walks.append(done)) as prover:
        checker = Checker(Components(Settings()), prover, ProofCache(folder / "kept"))
        return checker.check(file), len(walks)


def test_a_second_check_makes_no_walk_and_tells_the_same(tmp_path: Path) -> None:
    first, walks = checked(tmp_path)
    again, none = checked(tmp_path)
    assert walks > 10
    assert none == 0
    assert list(again.lines()) == list(first.lines())
    assert again.to_json() == first.to_json()


def test_errors_are_kept_with_their_places(tmp_path: Path) -> None:
    first, _ = checked(tmp_path, WRONG)
    again, none = checked(tmp_path, WRONG)
    assert none == 0
    assert first.has_errors
    assert again.faults == first.faults


def test_a_changed_file_or_another_number_of_draws_is_proved_anew(tmp_path: Path) -> None:
    checked(tmp_path)
    assert checked(tmp_path, WRONG)[1] > 0
    assert checked(tmp_path, draws=3)[1] > 0


@pytest.mark.parametrize("spoilt", ["", "{", "[]", '{"lines": 3}'])
def test_what_cannot_be_read_is_proved_anew(tmp_path: Path, spoilt: str) -> None:
    checked(tmp_path)
    (kept,) = (tmp_path / "kept").glob("*.json")
    kept.write_text(spoilt, encoding="utf-8")
    report, walks = checked(tmp_path)
    assert walks > 0
    assert not report.has_errors


def test_where_nothing_can_be_written_it_is_proved_all_the_same(tmp_path: Path) -> None:
    (tmp_path / "kept").write_text("a file, no folder", encoding="utf-8")
    report, walks = checked(tmp_path)
    assert walks > 0
    assert report.proof is not None


def test_only_the_user_can_read_what_is_kept(tmp_path: Path) -> None:
    checked(tmp_path)
    (kept,) = (tmp_path / "kept").glob("*.json")
    assert kept.stat().st_mode & 0o777 == 0o600
    assert (tmp_path / "kept").stat().st_mode & 0o777 == 0o700


def test_the_key_hangs_on_file_draws_seed_risk_meter_and_what_the_file_uses() -> None:
    one = replace(SOURCE, used=(("other", "procedure: other\n"),))
    keys = [key_of(SOURCE, 2, 1), key_of(SOURCE, 3, 1), key_of(SOURCE, 2, 2), key_of(one, 2, 1)]
    keys.append(key_of(replace(SOURCE, text=WRONG), 2, 1))
    keys.append(key_of(replace(SOURCE, settings=Settings(risk_percent=Decimal(7))), 2, 1))
    meter = SOURCE.meter.replace("0.5 %", "0.7 %")
    assert meter != SOURCE.meter
    keys.append(key_of(replace(SOURCE, meter=meter), 2, 1))
    keys.append(key_of(replace(SOURCE, used=(("other", "procedure: changed\n"),)), 2, 1))
    assert len(set(keys)) == len(keys)
    assert key_of(SOURCE, 2, 1) == keys[0]


def test_a_file_is_proved_anew_when_what_it_uses_has_changed(tmp_path: Path) -> None:
    house = resources.folder("procedures")
    user = (house / "blower-resistors.yaml").read_text(encoding="utf-8")
    used = (house / "rested-battery.yaml").read_text(encoding="utf-8")
    file, other = tmp_path / "blower-resistors.yaml", tmp_path / "rested-battery.yaml"
    file.write_text(user, encoding="utf-8")
    seen: list[ProofSource] = []
    for text in (used, used + "# another\n"):
        other.write_text(text, encoding="utf-8")
        Checker(Components(Settings()), Seeing(seen)).check(file)
    assert [dict(source.used) for source in seen] == [
        {"rested-battery": used}, {"rested-battery": used + "# another\n"},
    ]  # fmt: skip


class Seeing(Prover):
    """Keeps what it is asked to prove, and proves a good vehicle alone."""

    def __init__(self, seen: list[ProofSource]) -> None:
        super().__init__(1, workers=1)
        self._seen = seen

    def prove(self, setup: SessionSetup, source: ProofSource) -> Proof:
        self._seen.append(source)
        bare = replace(setup, procedure=replace(setup.procedure, faults={}))
        return super().prove(bare, source)
