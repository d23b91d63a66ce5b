"""Is a folder a whole Whisper model in CTranslate2's form? Told before the library sees it."""

from pathlib import Path

from voiceassist.errors import RecogniseError
from voiceassist.recognise.whisper.vocabulary import vocabulary_file
from voiceassist.recognise.whisper.weights import read_variables

MODEL, CONFIG = "model.bin", "config.json"


def check_folder(folder: Path) -> None:
    """Look, fast, whether the model in ``folder`` can be used. Nothing is ever fetched.

    Raises:
        RecogniseError: it is no such model, or not whole.
    """
    if not folder.is_dir():
        raise RecogniseError(
            "there is no such folder",
            place=str(folder),
            remedy="name the folder of a Whisper model converted for CTranslate2",
        )
    for name in (MODEL, CONFIG):
        if not (folder / name).is_file():
            raise RecogniseError(
                f"{name} is missing",
                place=str(folder),
                remedy="name the folder of a Whisper model converted for CTranslate2",
            )
    vocabulary_file(folder)
    read_variables(folder / MODEL)
