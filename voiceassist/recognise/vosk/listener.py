"""The listener ``vosk``, ready to use: its engine in a child process."""

from pathlib import Path

from voiceassist.errors import RecogniseError
from voiceassist.recognise.process.child import ListenerEngine
from voiceassist.recognise.process.listener import ProcessListener
from voiceassist.recognise.vosk.files import check_folder

_ENGINE = "voiceassist.recognise.vosk.engine:VoskEngine"


def vosk_listener(folder: str) -> ProcessListener:
    """A listener with the model in ``folder``, which loads in the background.

    Raises:
        RecogniseError: no folder is named, or it holds no model that can be used.
    """
    if not folder:
        raise RecogniseError(
            "the listener vosk needs a model", remedy="name its folder with --model"
        )
    check_folder(Path(folder))
    return ProcessListener("vosk", ListenerEngine(_ENGINE, {"folder": folder}))
