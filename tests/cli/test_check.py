"""``voiceassist check`` with its proof."""

from io import StringIO
from pathlib import Path

import pytest
from prove.shop import LAMP, changed
from rich.console import Console
from running import call, lines

from voiceassist.cli.progress import ProgressBar


def written(folder: Path, text: str = LAMP) -> str:
    file = folder / "side-lamp.yaml"
    file.write_text(text, encoding="utf-8")
    return str(file)


@pytest.mark.slow
def test_the_proof_is_shown_and_given_as_json(tmp_path: Path) -> None:
    file = written(tmp_path)
    done = call("check", file, "--draws", "4")
    assert done.returncode == 0, done.stderr
    assert "5 of 5 faults found" in done.stdout
    assert "lamp-gone" in done.stdout
    assert done.stderr == ""  # no bar where no terminal is
    (report,) = lines(call("check", file, "--draws", "4", "--json"))
    assert report["problems"] == []
    proof = report["proof"]
    assert (proof["faults"], proof["found"], proof["wrong"], proof["unresolved"]) == (5, 5, 0, 0)
    assert proof["draws"] == 4
    (unproved,) = lines(call("check", file, "--no-proof", "--json"))
    assert unproved["proof"] is None


@pytest.mark.slow
@pytest.mark.parametrize(
    ("change", "said"),
    [
        (("    high: earth-side\n", "    high: earth-side\n    then: good\n"), "'lamp-gone'"),
        (("accept: 12.0 V to 13.0 V", "accept: 13.0 V to 14.0 V"), "'battery' reads low"),
    ],
)
def test_a_failed_proof_exits_with_1(tmp_path: Path, change: tuple[str, str], said: str) -> None:
    file = written(tmp_path, changed(LAMP, change))
    done = call("check", file, "--draws", "3")
    assert done.returncode == 1
    assert said in done.stdout
    assert call("check", file, "--no-proof").returncode == 0


@pytest.mark.slow
def test_the_minutes_of_an_order_and_the_swaps_are_told(tmp_path: Path) -> None:
    slow_earth = changed(LAMP, ("  earth:\n", "  earth:\n    effort: 4 min\n"))
    file = written(tmp_path, slow_earth)
    cache = {"XDG_CACHE_HOME": str(tmp_path / "cache")}
    done = call("check", file, "--order", **cache)
    assert done.returncode == 0, done.stderr
    assert "minutes to a finding, on average" in done.stdout
    assert "something not listed (longest way)" in done.stdout
    assert "    whole before earth: saves 0." in done.stdout
    (report,) = lines(call("check", file, "--order", "--json", **cache))
    assert report["swaps"][0] | {"saves": 0} == {
        "step": "whole", "before": "earth", "past": ["earth"], "saves": 0,
    }  # fmt: skip
    assert sum(one["share"] for one in report["causes"]) == pytest.approx(1, abs=0.001)


def test_of_a_file_that_cannot_be_walked_it_is_told_why(tmp_path: Path) -> None:
    bare = call("check", written(tmp_path, LAMP[: LAMP.index("circuit:")]), "--order")
    assert (bare.returncode, bare.stderr) == (0, "")
    assert "no circuit with faults, so nothing to walk it on" in bare.stdout
    wrong = call("check", written(tmp_path, changed(LAMP, ("12.0 V to", "12.0 to"))), "--order")
    assert wrong.returncode == 1
    assert "error: " in wrong.stdout


def test_a_procedure_without_circuit_is_said_to_be_not_proved(tmp_path: Path) -> None:
    file = written(tmp_path, LAMP[: LAMP.index("circuit:")])
    done = call("check", file)
    assert done.returncode == 0
    assert "no circuit, so not proved" in done.stdout
    (report,) = lines(call("check", file, "--json"))
    assert report["proof"] is None


def test_a_bar_shows_on_a_terminal_only() -> None:
    def drawn(terminal: bool) -> str:
        out = StringIO()
        console = Console(file=out, force_terminal=terminal, width=80)
        with ProgressBar("proving", console) as bar:
            bar.at(3, 10)
        return out.getvalue()

    assert "proving" in drawn(terminal=True)
    assert "3/10" in drawn(terminal=True)
    assert drawn(terminal=False) == ""


def test_every_sentence_is_read_with_its_words_and_seconds(tmp_path: Path) -> None:
    done = call("check", "--read", written(tmp_path))
    assert done.returncode == 0, done.stdout
    asked = "  7 words  2.6 s  steps.battery, asked: Measure the voltage across the battery posts."
    assert asked in done.stdout.splitlines()
    assert "draws" not in done.stdout
    found = lines(call("check", "--read", written(tmp_path), "--json"))
    (battery,) = [x for x in found if (x["place"], x["kind"]) == ("steps.battery", "asked")]
    assert (battery["words"], battery["seconds"], battery["slips"]) == (7, 2.6, [])


def test_a_sentence_that_is_no_english_is_told_and_exits_with_1(tmp_path: Path) -> None:
    file = written(tmp_path, changed(LAMP, ("cause: ", "cause: the lamps is not unplugged; ")))
    done = call("check", "--read", file)
    assert done.returncode == 1
    assert "'the lamps is' is one and many" in done.stdout
    assert "'not unplugged' is heard as a double negative" in done.stdout


def test_what_cannot_be_read_aloud_is_told_in_a_sentence(tmp_path: Path) -> None:
    done = call("check", "--read", written(tmp_path, "procedure: side-lamp\n"))
    assert done.returncode != 0
    assert "'title' is missing; add it" in done.stderr
    assert "Traceback" not in done.stderr
