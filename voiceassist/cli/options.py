"""Options that several commands share."""

from typing import Annotated

import typer

Json = Annotated[bool, typer.Option("--json", help="One JSON object a line on standard output.")]
Records = Annotated[
    str, typer.Option(help="Folder of records. Default: the platform's data folder.")
]
Listener = Annotated[str, typer.Option(metavar="NAME", help="Speech recogniser, by name.")]
Model = Annotated[
    str, typer.Option(help="Folder of the listener's model, or the name of a kept one.")
]
Detail = Annotated[
    str, typer.Option(metavar="LEVEL", help="How much is spoken: brief, normal or teaching.")
]
Silent = Annotated[bool, typer.Option("--silent", help="No sound at all; text only.")]
VoiceOut = Annotated[str, typer.Option(help="Write the spoken answers to this WAV file.")]
Voice = Annotated[
    str, typer.Option(help='Voice: espeak, pyttsx3 or none; "espeak:en-gb" names one of its own.')
]
Rate = Annotated[
    int, typer.Option(metavar="WORDS", show_default=False, help="Words a minute, 80 to 300.")
]
Volume = Annotated[
    int,
    typer.Option(metavar="PERCENT", show_default=False, help="Loudness of the voice, 30 to 200."),
]
Duplex = Annotated[
    str,
    typer.Option(
        metavar="HOW",
        help="half: it speaks and listens by turns; full: you may cut in, with a headset.",
    ),
]
Tones = Annotated[
    str,
    typer.Option(
        metavar="ON|OFF",
        help="Short tones that tell that it listens or did not understand: on or off.",
    ),
]
Microphone = Annotated[
    str, typer.Option(metavar="NAME", help="Its name, or a part that no other has.")
]
Loudspeaker = Annotated[
    str, typer.Option(metavar="NAME", help="Its name, or a part that no other has.")
]
Talk = Annotated[
    str,
    typer.Option(
        metavar="HOW",
        help="open: all you say counts; name: only after its name; key: only after a press of the "
        "space bar or a foot switch.",
    ),
]
Name = Annotated[
    str,
    typer.Option(
        metavar="WORDS", help="What you call it, one or two plain words; means --talk name."
    ),
]
Pause = Annotated[
    str,
    typer.Option(
        metavar="SECONDS", help="So much quiet ends what you say, 0.4 to 1.2; it learns from you."
    ),
]
Tail = Annotated[
    str,
    typer.Option(
        metavar="SECONDS", help="How long after its last word it does not listen yet, 0 to 3."
    ),
]
PromptAfter = Annotated[
    str,
    typer.Option(
        metavar="SECONDS", help="After so much silence it says what it waits for; 0: never."
    ),
]
Screen = Annotated[
    str, typer.Option(metavar="WHEN", help="Picture of the session: auto, on or off.")
]
KeepSound = Annotated[
    str, typer.Option(help="Keep the sound of the session: off, on, or days:30 for so many days.")
]
Meter = Annotated[
    str, typer.Option(help="File of your meter, or the name of a shipped one (ordinary).")
]
Language = Annotated[str, typer.Option(help="Language spoken and heard.")]
