"""Real sessions for the pages, typed as a technician would say them, and journals made by hand."""

import json
from collections.abc import Mapping
from pathlib import Path

import yaml
from running import call

from voiceassist.app.pages.session_folder import kept_session, words_of
from voiceassist.page.session_report import SessionReport, session_report
from voiceassist.record.folder import SessionFolder

HOUSE = Path(__file__).parents[1]
Line = dict[str, object]


#: What a hostile or careless person may put into a fact or a note.
HOSTILE: Mapping[str, str] = {
    "vehicle": "<script>alert(1)</script>",
    "odometer": '"><img src=x onerror=alert(2)>',
    "technician": "Zoë Łukasz-Núñez {{ 7*7 }} {% raw %}",
    "repair order": "20\"26' style='x:expression(1)",
}
#: A job with all that can go astray: a value too early, a wrong unit, help, a note, a step gone
#: back to and one left out, a correction, a meter over its range.
ASTRAY = """\
twelve point eight volts
affirm
done
twelve point eight volts
correction twelve point six volts
affirm
done
why
explain
what is the limit
eight ohms
twelve point five volts
note holder <b>green</b> & worn --> <script src="x"></script>
bright
go back
bright
skip
no access
zero point zero five volts
done
say again
eight point four volts
done
two point five volts
done
twelve point three volts
done
affirm
affirm
done
seven point two amps
twelve point three volts
affirm
done
done
done
affirm
done
four point two volts
done
twelve point one volts
affirm
"""


def session(folder: Path, typed: str, *options: str, **facts: str) -> SessionFolder:
    """The folder of a session of the shipped procedure, typed line by line."""
    given = [part for item in facts.items() for part in ("--set", "=".join(item))]
    done = call(
        *("run", "heater-fan-module", "--typed", "--silent", "--records", str(folder)),
        *options,
        *given,
        typed=typed,
    )
    assert done.returncode == 0, done.stderr
    (found,) = (path for path in folder.iterdir() if path.is_dir())
    return SessionFolder(found)


def account_of(folder: SessionFolder) -> SessionReport:
    lines = [entry.fields for entry in kept_session(folder).entries]
    return session_report(lines, words_of(folder).steps)


def lines_of(folder: SessionFolder) -> list[Line]:
    return [json.loads(line) for line in folder.journal.read_text(encoding="utf-8").splitlines()]


def demo_words() -> str:
    """What the recorded technician of the demo says, a line each."""
    script = HOUSE / "audio_fixtures" / "demo" / "script.yaml"
    phrases = yaml.safe_load(script.read_text(encoding="utf-8"))["phrases"]
    return "".join(f"{phrase['words']}\n" for phrase in phrases)
