"""``voiceassist demo``: the main job with no microphone."""

from typing import Annotated

import typer

from voiceassist.cli.options import Json, Records, VoiceOut
from voiceassist.cli.run import UNFINISHED
from voiceassist.cli.show import shows, warn


def demo(
    real_time: Annotated[
        bool, typer.Option("--real-time", help="Play both voices on the loudspeaker, live.")
    ] = False,
    voice_out: VoiceOut = "",
    records: Records = "",
    json: Json = False,
) -> None:
    """A recorded technician does a whole job: real recogniser, spoken answers, record, report."""
    from voiceassist.app.demo import demo_script, run_demo

    script = demo_script()
    show = shows(json_lines=json, total=len(script.files))
    done = run_demo(script, show, warn, records=records, voice_out=voice_out, real_time=real_time)
    warn(f"\nRecord, transcript, report and spoken answers: {done.folder}")
    raise typer.Exit(1 if done.outcome in UNFINISHED else 0)
