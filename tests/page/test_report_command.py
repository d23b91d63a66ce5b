"""``voiceassist records report``, as a user calls it."""

import json
import shutil
from pathlib import Path

import pytest
from handed_out import lines_of
from running import Done

from voiceassist.cli.main import main
from voiceassist.page.reader import Reader
from voiceassist.record.folder import JOURNAL, SessionFolder


class Call:
    """Calls the command line in this process, as ``running.call`` does in one of its own."""

    def __init__(self, captured: pytest.CaptureFixture[bytes]) -> None:
        self._captured = captured

    def __call__(self, *arguments: str) -> Done:
        self._captured.readouterr()
        with pytest.raises(SystemExit) as end:
            main(["records", "report", *arguments])
        out, err = self._captured.readouterr()
        code = end.value.code
        assert isinstance(code, int)
        return Done(arguments, code, out.decode(), err.decode())


@pytest.fixture
def call(
    capfdbinary: pytest.CaptureFixture[bytes], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Call:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    return Call(capfdbinary)


@pytest.fixture
def records(demo: SessionFolder, tmp_path: Path) -> Path:
    """A folder of records with the job of the demo in it."""
    folder = tmp_path / "records"
    shutil.copytree(demo.path, folder / demo.id)
    return folder


def test_a_page_is_written_for_a_session_named_by_its_repair_order(
    call: Call, records: Path
) -> None:
    out = records.parent / "for-the-customer.pdf"
    done = call(
        *("1042", "--records", str(records)),
        *("--for", "customer", "--out", str(out), "--json"),
    )
    assert done.returncode == 0, done.stderr
    about = json.loads(done.stdout)
    assert (about["for"], about["form"], about["file"]) == ("customer", "pdf", str(out))
    assert out.read_bytes().startswith(b"%PDF-")
    assert out.stat().st_mode & 0o777 == 0o600


def test_without_a_file_the_page_goes_to_standard_output(call: Call, records: Path) -> None:
    done = call("--records", str(records))
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("<!DOCTYPE html>")
    assert "Readings that prove the repair" in done.stdout


def test_an_altered_journal_makes_a_page_that_says_so(
    call: Call, records: Path, demo: SessionFolder
) -> None:
    journal = records / demo.id / JOURNAL
    content = journal.read_bytes()
    journal.write_bytes(content.replace(b'"shown":"12.3 V"', b'"shown":"4.3 V"'))
    assert journal.read_bytes() != content
    done = call("--records", str(records))
    assert done.returncode == 1
    assert "it was edited" in done.stderr
    assert "The record of this session was altered" in done.stdout
    assert "ALTERED" in done.stdout
    assert str(lines_of(demo)[-1]["hash"]) not in done.stdout


@pytest.mark.parametrize(
    ("options", "told"),
    [
        (["--for", "owner"], "--for: 'owner' is not known here; use shop, customer, instructor"),
        (["--as", "doc"], "--as: 'doc' is not known here; use html, pdf"),
        (["--paper", "a5"], "--paper: 'a5' is not known here; use a4, letter"),
        (["--json"], "--out: --json tells of a file; name a file"),
    ],
)
def test_what_is_not_known_is_refused_in_one_sentence(
    call: Call, records: Path, options: list[str], told: str
) -> None:
    done = call("--records", str(records), *options)
    assert done.returncode == 2
    assert done.stderr.strip() == told


def test_a_file_that_is_there_is_not_written_over(call: Call, records: Path) -> None:
    out = records.parent / "page.html"
    out.write_text("mine", encoding="utf-8")
    done = call("--records", str(records), "--out", str(out))
    assert done.returncode == 2
    assert "there is already a file" in done.stderr
    assert out.read_text(encoding="utf-8") == "mine"


def test_the_help_names_every_reader(call: Call) -> None:
    (told,) = [line for line in call("--help").stdout.splitlines() if "--for" in line]
    assert [reader.value for reader in Reader if reader.value not in told] == []
