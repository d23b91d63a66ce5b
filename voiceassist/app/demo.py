"""The main job with no microphone: a recorded technician, the real recogniser."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import yaml

from voiceassist import resources
from voiceassist.app.live.parts import Show
from voiceassist.app.session_request import SessionEnd, SessionRequest
from voiceassist.app.sessions import run_session
from voiceassist.app.warn import Warn
from voiceassist.errors import ResourceError


@dataclass(frozen=True, slots=True)
class DemoScript:
    """What the demo plays.

    Parts:
        procedure: name of a shipped procedure.
        facts: of the job.
        files: the technician's recordings, in order.
    """

    procedure: str
    facts: Mapping[str, str]
    files: Sequence[Path]


def demo_script() -> DemoScript:
    """The shipped script.

    Raises:
        ResourceError: it or one of its recordings is missing.
    """
    home = resources.folder("demo")
    script = yaml.safe_load(resources.read_text(home / "script.yaml"))
    files = [home / f"{phrase['name']}.wav" for phrase in script["phrases"]]
    missing = [file.name for file in files if not file.is_file()]
    if missing:
        raise ResourceError(
            f"the demo recordings {', '.join(missing)} are missing",
            place=str(home),
            remedy="install voiceassist again",
        )
    return DemoScript(script["procedure"], script["facts"], files)


def run_demo(
    script: DemoScript, show: Show, warn: Warn, *, records: str, voice_out: str, real_time: bool
) -> SessionEnd:
    """Play the script through a whole session."""
    request = SessionRequest(
        procedure=script.procedure,
        audio=[str(file) for file in script.files],
        facts=script.facts,
        voice_out=voice_out,
        demo=True,
        aloud=real_time,
        changes={"records": records} if records else {},
    )
    return run_session(request, show, warn)
