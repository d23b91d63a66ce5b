"""``voiceassist draw``: flow and circuit, to a file or standard output."""

from pathlib import Path
from xml.etree import ElementTree

import pytest
from prove.shop import LAMP
from running import call, seen_at_a_terminal


def test_the_flow_is_drawn_as_svg_to_standard_output() -> None:
    done = call("draw", "heater-fan-module")
    assert done.returncode == 0, done.stderr
    words = [one.text for one in ElementTree.fromstring(done.stdout).iter()]
    assert {"command-slow", "feed-side"} <= set(words)


def test_the_circuit_is_drawn_to_a_file(tmp_path: Path) -> None:
    file = tmp_path / "fan.svg"
    done = call("draw", "heater-fan-module", "--circuit", "--out", str(file))
    assert (done.returncode, done.stdout) == (0, "")
    words = [one.text for one in ElementTree.fromstring(file.read_text(encoding="utf-8")).iter()]
    assert {"fan fuse", "15 A", "fan relay"} <= set(words)


def test_the_flow_is_given_as_mermaid_text() -> None:
    done = call("draw", "heater-fan-module", "--flow", "--as", "mermaid")
    assert done.stdout.startswith("flowchart TD\n")
    assert "turns-freely" in done.stdout


def test_the_flow_tells_how_many_jobs_take_each_branch(tmp_path: Path) -> None:
    file = tmp_path / "lamp.yaml"
    file.write_text(LAMP, encoding="utf-8")
    text = call("draw", str(file), "--likely", "--as", "mermaid").stdout
    # three of the five faults, each 0.19, end at the feed; the good vehicle at the end with 0.05
    assert '|"fail: 57 %"|' in text
    assert "57 % of all jobs" in text
    assert "5 % of all jobs" in text
    drawn = call("draw", str(file), "--likely").stdout
    plain = call("draw", str(file)).stdout
    words = [one.text for one in ElementTree.fromstring(drawn).iter()]
    assert {"fail: 57 %", "57 % of all jobs"} <= set(words)
    assert drawn.count("<style") == plain.count("<style")
    assert "%" not in plain.split("</style>")[-1]


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["heater-fan-module", "--as", "png"], "found 'png'; use svg or mermaid"),
        (["heater-fan-module", "--circuit", "--as", "mermaid"], "use svg"),
        (["heater-fan-module", "--circuit", "--likely"], "the numbers belong to the flow"),
        (["key-off-draw", "--likely", "--as", "png"], "use svg or mermaid"),
        (["none.yaml"], "there is no such file"),
        (["heater-fan-module", "--out", "/nowhere/at/all.svg"], "it cannot be written"),
    ],
)
def test_what_cannot_be_drawn_is_refused_in_a_sentence(arguments: list[str], said: str) -> None:
    done = call("draw", *arguments)
    assert done.returncode == 2
    assert said in done.stderr
    assert done.stderr.count("\n") == 1
    assert done.stdout == ""


def test_a_drawing_does_not_fill_a_terminal() -> None:
    done = seen_at_a_terminal("draw", "heater-fan-module", all_of_it=True)
    assert done.returncode == 2
    assert "name a file, such as --out drawing.svg" in " ".join(done.stderr.split())
    assert "<svg" not in done.stderr


def test_a_file_that_is_there_is_not_written_over(tmp_path: Path) -> None:
    file = tmp_path / "mine.yaml"
    file.write_text("mine", "utf-8")
    done = call("draw", "heater-fan-module", "--out", str(file))
    assert done.returncode == 2
    assert done.stderr.strip().endswith(f"{file}: there is already a file; give another --out")
    assert file.read_text("utf-8") == "mine"


def test_a_procedure_without_circuit_has_only_a_flow(tmp_path: Path) -> None:
    file = tmp_path / "small.yaml"
    file.write_text(
        "procedure: small\ntitle: a\nfor: b\nsteps:\n  one: {do: look, then: fine}\n"
        "findings:\n  fine: {cause: c, correction: d}\n",
        encoding="utf-8",
    )
    assert call("draw", str(file)).returncode == 0
    done = call("draw", str(file), "--circuit")
    assert done.returncode == 2
    assert "has no circuit" in done.stderr


def test_a_circuit_is_drawn_on_sheets_beside_each_other(tmp_path: Path) -> None:
    done = call("draw", "trailer-socket", "--sheets", "--out", str(tmp_path / "paths.svg"))
    assert done.returncode == 0, done.stderr
    files = sorted(path.name for path in tmp_path.iterdir())
    assert files == ["paths-1.svg", "paths-2.svg"]
    assert done.stdout.split() == [str(tmp_path / name) for name in files]


def test_sheets_want_a_name_for_their_files() -> None:
    done = call("draw", "trailer-socket", "--sheets")
    assert done.returncode == 2
    assert "name a file, such as --out circuit.svg" in done.stderr


def test_a_step_is_drawn_with_its_meter_and_plug(tmp_path: Path) -> None:
    file = tmp_path / "feed.svg"
    done = call("draw", "heater-fan-module", "--step", "feed", "--out", str(file))
    assert (done.returncode, done.stdout) == (0, "")
    words = [one.text for one in ElementTree.fromstring(file.read_text(encoding="utf-8")).iter()]
    assert {"voltmeter", "red lead: feed pin", "module plug, open"} <= set(words)


def test_all_steps_are_drawn_as_a_page_that_fetches_nothing(tmp_path: Path) -> None:
    file = tmp_path / "lamp.yaml"
    file.write_text(LAMP, encoding="utf-8")
    page = call("draw", str(file), "--steps").stdout
    assert page.count("<figure>") == 4  # battery, feed, earth and whole
    assert not {"script", "src=", "href=", "url("} & set(page.replace("<", " ").split())
    assert page.count("<style>") == 1


def test_a_step_that_is_not_there_is_refused_with_one_that_is() -> None:
    done = call("draw", "heater-fan-module", "--step", "fed")
    assert done.returncode == 2
    assert "has no step 'fed'; use feed" in done.stderr
