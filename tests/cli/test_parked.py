"""A job is parked by word, shown as parked everywhere, and gone on with from the list."""

from pathlib import Path

from prove.shop import LAMP
from running import Done, call

BEGUN = ("affirm", "twelve point six volts", "done", "call me back when it fails", "done")


def run(tmp_path: Path, *arguments: str, said: tuple[str, ...] = ()) -> Done:
    return call(
        "run", *arguments, "--typed", "--silent", "--records", str(tmp_path / "records"),
        typed="".join(f"{line}\n" for line in said),
    )  # fmt: skip


def parked(tmp_path: Path, *, order: str = "1042") -> Done:
    path = tmp_path / "side-lamp.yaml"
    path.write_text(
        LAMP.replace("circuit:", "at-rest: {lights: off, lamp plug: in}\ncircuit:"), "utf-8"
    )
    return run(tmp_path, str(path), "--set", f"repair order={order}", said=BEGUN)


def records(tmp_path: Path, *arguments: str) -> Done:
    return call("records", *arguments, "--records", str(tmp_path / "records"))


def test_it_is_put_back_parked_and_told_how_to_go_on(tmp_path: Path) -> None:
    done = parked(tmp_path)
    assert done.returncode == 1  # not finished
    assert "Switch the side lights off." in done.stdout
    assert "Parked, until the fault shows. The readings are kept." in done.stdout
    assert "Go on with it: voiceassist run --resume 2" in done.stderr


def test_every_list_and_page_shows_it_as_parked(tmp_path: Path) -> None:
    parked(tmp_path)
    assert "parked until the fault shows, since 2" in records(tmp_path, "list").stdout
    assert "1042" in records(tmp_path, "find", "--outcome", "parked").stdout
    assert "1042" in records(tmp_path, "find", "--outcome", "open").stdout
    assert "parked until the fault shows" in records(tmp_path, "show", "last").stdout
    (report,) = (tmp_path / "records").glob("*/report.txt")
    assert "Outcome: parked until the fault shows" in report.read_text(encoding="utf-8")
    page = tmp_path / "page.html"
    assert records(tmp_path, "report", "last", "--out", str(page)).returncode == 0
    assert "parked until the fault shows" in page.read_text(encoding="utf-8").lower()
    assert records(tmp_path, "verify").returncode == 0


def test_alone_the_program_offers_what_is_parked(tmp_path: Path) -> None:
    alone = call(VOICEASSIST_RECORDS=str(tmp_path / "records"))
    assert alone.stdout.startswith("What is wrong")
    parked(tmp_path)
    alone = call(VOICEASSIST_RECORDS=str(tmp_path / "records"))
    assert alone.stdout.startswith("Parked jobs:\n2")
    assert "Side lamp does not light | 1042 | parked until the fault shows" in alone.stdout
    assert "voiceassist run --resume SESSION" in alone.stdout


def test_it_goes_on_with_its_readings_and_is_parked_no_more(tmp_path: Path) -> None:
    parked(tmp_path)
    again = run(tmp_path, "--resume", "1042", said=("read back", "done", "twelve point five volts"))
    assert "Going on with what was parked a minute ago, until the fault shows." in again.stdout
    assert "battery, 12.6 V" in again.stdout or "Battery: 12.6 V" in again.stdout
    assert "Switch the side lights on." in again.stdout
    assert "not ended" in records(tmp_path, "list").stdout
    assert records(tmp_path, "verify").returncode == 0


def test_an_unfinished_job_that_was_not_parked_goes_first(tmp_path: Path) -> None:
    run(tmp_path, "heater", "--set", "repair order=7", said=("affirm",))
    parked(tmp_path)
    again = run(tmp_path, "--resume")
    assert "Heater fan" in again.stdout
    assert "Also unfinished" in again.stderr


def test_parked_twice_it_tells_the_last_reason(tmp_path: Path) -> None:
    parked(tmp_path)
    run(tmp_path, "--resume", said=("park it waiting for parts",))
    assert "parked until the parts are here" in records(tmp_path, "list").stdout
