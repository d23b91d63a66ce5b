"""Journals with odd lines, whose chain is intact: no verb of ``records`` breaks on them."""

from pathlib import Path

import pytest
from shelf import END, FINDING, Line, add, head, kept, reading, verdict

from voiceassist.cli.main import main

STEER = "\x1b[2J\n=1+1<script>"
VERBS = (
    *(
        ("list",),
        ("find", "--order", "1042"),
        ("show",),
        ("verify",),
        ("trend", "feed"),
        ("rebuild",),
    ),
    *(("export", "--as", form) for form in ("json", "csv", "vtt", "txt")),
    *(("report", "--for", reader) for reader in ("shop", "customer", "instructor")),
    ("report", "--for", "instructor", "--as", "pdf"),
)
HEARD: Line = {"event": "heard", "words": "eight", "step": "feed", "decision": "ask"}
ODD: dict[str, list[Line]] = {
    "lists for names": [
        {"event": "caution", "name": [[]], "signal": {}, "text": []},
        {"event": "acknowledged", "names": [{}, [], None]},
        {"event": "interrupted", "unheard": [{}]},
        HEARD | {"decision": [], "meanings": [{"kind": [], "name": {}}], "candidates": [[]]},
        {"event": "ask", "text": "which"},
        {"event": "fact", "name": ["x"], "value": {}},
        {"event": "finding-withdrawn", "name": []},
    ],
    "nothing but events": [
        {"event": name}
        for name in ("heard", "reading", "verdict", "rejudged", "skipped", "note", "withdrawn")
    ],
    "times beyond all measure": [
        HEARD | {"start_s": 10**400, "end_s": 1e17},
        HEARD | {"start_s": 1e308, "end_s": -1.0},
        {"event": "returned", "away_s": 10**400},
        {"event": "returned", "away_s": 1e308},
    ],
    "numbers beyond all measure": [
        *(
            reading(value, step="other")
            for value in ("1E+60000", "1E-60000", "1e999999999", "NaN", "9" * 4000)
        ),
        reading("1", step="other") | {"value": 10**400},
        verdict(f"{'9' * 5000} V", "low") | {"low": f"{'9' * 5000} V", "high": "1 V"},
    ],
    "no text": [
        reading("1", step="\ud800") | {"shown": STEER},
        verdict(STEER, STEER, step="\ud800", limit=STEER),
        {"event": "note", "words": STEER},
        {"event": "fact", "name": STEER, "value": "\ud800"},
    ],
    "odd proof": [FINDING | {"because": [{}, "\ud800"], "cause": ["x"], "correction": 5}, END],
}


@pytest.mark.parametrize("odd", ODD)
def test_odd_lines_are_told_as_far_as_they_can_be(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capfdbinary: pytest.CaptureFixture[bytes],
    odd: str,
) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.setenv("VOICEASSIST_RECORDS", str(tmp_path / "records"))
    facts = {"repair order": "1042", "\ud800": "\x1b[2J", "vehicle": ["x"]}
    lines = [head(facts=facts), reading("1"), *ODD[odd]]
    made = kept(tmp_path / "records", lines)
    for verb in VERBS:
        with pytest.raises(SystemExit) as end:
            main(["records", *verb])
        out, err = capfdbinary.readouterr()
        assert (end.value.code, verb) == (0, verb)
        assert out
        assert b"\x1b" not in out or verb[-1] in {"json", "pdf"}
        assert b"Error" not in err
    assert made.journal.exists()
    add(made, [END])
