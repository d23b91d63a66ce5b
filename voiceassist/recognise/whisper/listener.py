"""The listener ``whisper``, ready to use: its engine in a child process."""

from pathlib import Path

from voiceassist.errors import RecogniseError
from voiceassist.recognise.process.child import Engine
from voiceassist.recognise.process.listener import ProcessListener
from voiceassist.recognise.whisper.files import check_folder

_ENGINE = "voiceassist.recognise.whisper.engine:WhisperEngine"
#: Small products of matrices gain nothing from a second thread, and waiting ones take time from
#: the rest of the program.
_ENVIRONMENT = {"OPENBLAS_NUM_THREADS": "1", "OMP_WAIT_POLICY": "PASSIVE"}


def whisper_listener(folder: str, language: str) -> ProcessListener:
    """A listener with the model in ``folder``, which loads in the background.

    Raises:
        RecogniseError: it is not English that is spoken, no folder is named, or it holds no model
            that can be used.
    """
    if language.partition("-")[0] != "en":
        raise RecogniseError(
            f"the listener whisper hears English, not {language!r}",
            remedy="use --listener vosk with a model for that language",
        )
    if not folder:
        raise RecogniseError(
            "the listener whisper needs a model",
            remedy="name its folder with --model, or keep one with: voiceassist models add FOLDER",
        )
    check_folder(Path(folder))
    return ProcessListener("whisper", Engine(_ENGINE, {"folder": folder}, _ENVIRONMENT))
