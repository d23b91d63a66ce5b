"""The first minute: what there is, and starting it by a word."""

import io
import re
from pathlib import Path

import pytest
from running import call

from voiceassist.app.catalogue import shipped
from voiceassist.cli.choosing import show_all

HOUSE = Path(__file__).parents[2]
NAMES = sorted(path.stem for path in (HOUSE / "procedures").glob("*.yaml"))


class Terminal(io.StringIO):
    """Text written to a terminal."""

    def isatty(self) -> bool:
        return True


def shown(monkeypatch: pytest.MonkeyPatch, columns: int, lines: int) -> list[str]:
    monkeypatch.setenv("COLUMNS", str(columns))
    monkeypatch.setenv("LINES", str(lines))
    show_all(out := Terminal())
    return out.getvalue().splitlines()


def first_words(rows: list[str]) -> list[str]:
    return [row.split()[0] for row in rows if row[:1].islower()]


def test_alone_it_lists_every_procedure_with_its_complaints_and_how_to_start_one() -> None:
    done = call()
    assert (done.returncode, done.stderr) == (0, "")
    rows = done.stdout.splitlines()
    assert first_words(rows) == NAMES
    assert all(f"{each.title}\n" in done.stdout for each in shipped())
    assert all(complaint in done.stdout for each in shipped() for complaint in each.complaints)
    assert "voiceassist run heater" in done.stdout
    assert "voiceassist demo" in done.stdout


def test_the_help_is_still_there() -> None:
    done = call("--help")
    assert done.returncode == 0
    assert "soundcheck" in done.stdout


def test_a_wrong_option_is_still_wrong() -> None:
    assert call("--nope").returncode == 2
    assert call("nope").returncode == 2


@pytest.mark.parametrize("columns", [40, 80, 120, 200])
def test_rows_break_between_words_and_are_no_wider_than_the_terminal(
    monkeypatch: pytest.MonkeyPatch, columns: int
) -> None:
    rows = shown(monkeypatch, columns, 500)
    listed = rows[1 : rows.index("")]
    assert max(map(len, listed)) <= columns
    assert set(first_words(listed)) == set(NAMES)
    words = " ".join(" ".join(listed).split())
    assert all(each.title in words for each in shipped())


def test_a_small_terminal_gets_what_fits_on_it_and_a_large_one_all(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    small, middle, large = (shown(monkeypatch, 80, lines) for lines in (24, 60, 500))
    assert len(small) < 24
    assert len(middle) < 60
    assert (
        re.findall(r"[a-z]+(?:-[a-z]+)*(?=,|$)", "\n".join(small[1:]), re.M)[: len(NAMES)] == NAMES
    )
    said, title = shipped()[0].complaints[0], shipped()[0].title
    assert [title in "\n".join(rows) for rows in (small, middle, large)] == [False, True, True]
    assert [said in "\n".join(rows) for rows in (small, middle, large)] == [False, False, True]


@pytest.mark.parametrize(
    "word", ["heater-fan-module", "heater", "HEATER", "fan-mod", "control off"]
)
def test_a_word_starts_the_one_procedure_that_it_names(word: str, tmp_path: Path) -> None:
    done = call("run", word, "--typed", "--silent", "--records", str(tmp_path))
    assert done.returncode == 1, "the input ended before the job did"
    assert done.stdout.strip().startswith("Heater fan runs with the control off")
    (folder,) = tmp_path.iterdir()
    assert "-heater-fan-module-" in folder.name


def test_several_words_need_no_quotation_marks(tmp_path: Path) -> None:
    done = call("run", "fuel", "pump", "--typed", "--silent", "--records", str(tmp_path))
    assert done.stdout.strip().startswith("Fuel pump does not run")


def test_several_that_fit_are_listed_and_none_is_started(tmp_path: Path) -> None:
    done = call("run", "cranking", "--typed", "--records", str(tmp_path))
    assert (done.returncode, done.stdout) == (2, "")
    assert first_words(done.stderr.splitlines()) == ["slow-cranking", "slow-cranking-lorry"]
    assert "only clicks" in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_a_whole_name_is_that_one_though_another_begins_like_it(tmp_path: Path) -> None:
    done = call("run", "slow-cranking", "--typed", "--silent", "--records", str(tmp_path))
    assert done.stdout.strip().startswith("Starter turns slowly, or only clicks.")


@pytest.mark.parametrize("word", ["heter", "hetaer-fan-module", "hetter fan"])
def test_a_name_nearly_right_is_offered_and_not_started(word: str, tmp_path: Path) -> None:
    done = call("run", word, "--typed", "--records", str(tmp_path))
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == f"There is no procedure {word!r}. Did you mean heater-fan-module?\n"


def test_a_word_that_means_none_is_told_where_the_list_is() -> None:
    done = call("run", "submarine", "--typed")
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == "There is no procedure 'submarine'. To see all there are: voiceassist\n"


@pytest.mark.parametrize("arguments", [["run"], ["run", ""], ["run", "--typed"]])
def test_run_without_a_procedure_and_with_nobody_to_ask_lists_them(arguments: list[str]) -> None:
    done = call(*arguments)
    assert done.returncode == 2
    assert done.stdout.strip() in {"", "What is wrong with the vehicle?"}
    assert set(NAMES) <= set(first_words(done.stderr.splitlines()))
    assert done.stderr.splitlines()[-1].startswith("No procedure is named.")


def test_a_path_is_a_path_however_it_reads(tmp_path: Path) -> None:
    done = call("run", "heater.yaml", "--typed", "--records", str(tmp_path))
    assert done.returncode == 2
    assert "heater.yaml: there is no such file" in done.stderr
    text = (HOUSE / "procedures" / "key-off-draw.yaml").read_text("utf-8")
    (tmp_path / "heater.yaml").write_text(re.sub("^title: .*$", "title: Mine", text, flags=re.M))
    done = call("run", str(tmp_path / "heater.yaml"), "--typed", "--silent", "--records",
                str(tmp_path / "r"))  # fmt: skip
    assert done.stdout.strip().startswith("Mine.")


def test_other_commands_offer_the_name_that_is_nearly_right() -> None:
    done = call("draw", "heater-fan-modul")
    assert done.returncode == 2
    assert "did you mean 'heater-fan-module'?" in done.stderr
