"""``voiceassist demo``: the main job with no microphone."""

from typing import Annotated

import typer

from voiceassist.cli.options import Json, Records, VoiceOut
from voiceassist.cli.run import UNFINISHED
from voiceassist.cli.show import warn

_NEXT = """
Hear it:   voiceassist demo --voice-out answers.wav  (the answers, as a file)
           voiceassist demo --real-time              (both voices, loudspeaker)
Try next:  voiceassist run heater --typed            (your own readings, typed)
           voiceassist soundcheck                    (microphone, loudspeaker)
           voiceassist run heater                    (by voice, hands free)
           voiceassist                               (all procedures)"""


def demo(
    real_time: Annotated[
        bool, typer.Option("--real-time", help="Play both voices on the loudspeaker, live.")
    ] = False,
    voice_out: VoiceOut = "",
    records: Records = "",
    screen: Annotated[
        str, typer.Option(help="The picture of a session: on, off, or auto (with --real-time).")
    ] = "auto",
    json: Json = False,
) -> None:
    """A recorded technician does a whole job: real recogniser, spoken answers, record, report.

    At one point a plug is forgotten, and that is noticed before a good part is condemned.
    """
    from voiceassist.app.demo import demo_script, run_demo
    from voiceassist.cli.screen.choose import pictured, stage

    script = demo_script()
    screen = pictured(screen, real_time=real_time)
    with stage(screen, json=json, typed=False, total=len(script.files)) as on:
        done = run_demo(
            script, on.show, on.warn, records=records, voice_out=voice_out, real_time=real_time
        )
    warn(f"\nRecord, transcript, report and spoken answers: {done.folder}\n{_NEXT}")
    raise typer.Exit(1 if done.outcome in UNFINISHED else 0)
