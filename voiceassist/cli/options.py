"""Options that several commands share."""

from typing import Annotated

import typer

from voiceassist.errors import SettingsError

Json = Annotated[bool, typer.Option("--json", help="One JSON object a line on standard output.")]
Records = Annotated[
    str, typer.Option(help="Folder of records. Default: the platform's data folder.")
]
Listener = Annotated[str, typer.Option(help="Speech recogniser, by name.")]
Model = Annotated[
    str, typer.Option(help="Folder of the listener's model, or the name of a kept one.")
]
Detail = Annotated[str, typer.Option(help="How much is spoken: brief, normal or teaching.")]
Silent = Annotated[bool, typer.Option("--silent", help="No sound at all; text only.")]
VoiceOut = Annotated[str, typer.Option(help="Write the spoken answers to this WAV file.")]
Voice = Annotated[
    str, typer.Option(help='Voice: espeak, pyttsx3 or none; "espeak:en-gb" names one of its own.')
]
Rate = Annotated[int, typer.Option(help="Words a minute, 80 to 300.")]
Volume = Annotated[int, typer.Option(help="Loudness of the voice in percent, 30 to 200.")]
Duplex = Annotated[
    str, typer.Option(help="half: speak and listen by turns; full: be cut short, with a headset.")
]
Tones = Annotated[str, typer.Option(help="Short tones that tell that it listens: on or off.")]
Screen = Annotated[str, typer.Option(help="Picture of the session: auto, on or off.")]
KeepSound = Annotated[
    str, typer.Option(help="Keep the sound of the session: off, on, or days:30 for so many days.")
]
Meter = Annotated[
    str, typer.Option(help="File of your meter, or the name of a shipped one (ordinary).")
]
Language = Annotated[str, typer.Option(help="Language spoken and heard.")]


def facts(pairs: list[str]) -> dict[str, str]:
    """The job facts in ``--set name=value`` options.

    Raises:
        SettingsError: one has no "=".
    """
    for pair in pairs:
        if "=" not in pair:
            raise SettingsError(
                f"found {pair!r}", place="--set", remedy='write it like --set "vehicle=number 7"'
            )
    return {name.strip(): value.strip() for name, value in (p.split("=", 1) for p in pairs)}
