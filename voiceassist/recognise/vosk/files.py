"""Is a folder a whole Vosk model that can be held to a grammar? Told before the library sees it.

The library crashes on some damaged models, and takes others without heeding the grammar.
"""

from pathlib import Path

from voiceassist.errors import RecogniseError

#: The files of a model whose graph is made anew for each grammar: its folders, and all in one.
_BY_FOLDER = (
    "am/final.mdl", "conf/mfcc.conf", "conf/model.conf", "graph/HCLr.fst", "graph/Gr.fst",
    "graph/phones/word_boundary.int",
)  # fmt: skip
_FLAT = ("final.mdl", "mfcc.conf", "HCLr.fst", "Gr.fst", "word_boundary.int")
_IVECTOR = ("final.dubm", "final.ie", "final.mat", "global_cmvn.stats", "online_cmvn.conf")
#: The first bytes of every file of the OpenFst library (its magic number, little-endian).
_FST_MAGIC = (2125659606).to_bytes(4, "little")
_AGAIN = "copy or unpack the model again"


def check_folder(folder: Path) -> None:
    """Look whether the model in ``folder`` can be used.

    Raises:
        RecogniseError: it is no model, not whole, or its graph is fixed.
    """
    if not folder.is_dir():
        raise RecogniseError(
            "there is no such folder", place=str(folder), remedy="name the folder of a Vosk model"
        )
    names = _names(folder)
    if names is None:
        raise RecogniseError("this is not a Vosk model", place=str(folder), remedy=_inside(folder))
    fixed = [name.replace("HCLr", "HCLG") for name in names if name.endswith("HCLr.fst")]
    if any((folder / name).exists() for name in fixed):
        raise RecogniseError(
            "the graph of this model is fixed, so it cannot be held to a step's words",
            place=str(folder),
            remedy="use a model with the files Gr.fst and HCLr.fst; most small ones have them",
        )
    for name in (*names, *_ivector(folder)):
        _check_file(folder, name)


def is_model(folder: Path) -> bool:
    """True when ``folder`` looks like a Vosk model, be it whole or not."""
    return folder.is_dir() and _names(folder) is not None


def _names(folder: Path) -> tuple[str, ...] | None:
    if (folder / "am").is_dir() and (folder / "graph").is_dir():
        return _BY_FOLDER
    flat = ("final.mdl", "mfcc.conf", "word_boundary.int")
    return _FLAT if any((folder / name).is_file() for name in flat) else None


def _ivector(folder: Path) -> list[str]:
    """The files for adaptation to the speaker; a model has all of them, or no such folder."""
    return [f"ivector/{name}" for name in _IVECTOR] if (folder / "ivector").is_dir() else []


def _check_file(folder: Path, name: str) -> None:
    file = folder / name
    try:
        with file.open("rb") as opened:
            start = opened.read(4)
    except OSError as error:
        found = "it is missing" if isinstance(error, FileNotFoundError) else str(error.strerror)
        raise RecogniseError(found, place=str(file), remedy=_AGAIN) from None
    if not start:
        raise RecogniseError("it is empty", place=str(file), remedy=_AGAIN)
    if name.endswith(".fst") and start != _FST_MAGIC:
        raise RecogniseError("it is damaged", place=str(file), remedy=_AGAIN)


def _inside(folder: Path) -> str:
    """Where the model may be instead."""
    found = [each for each in sorted(folder.iterdir()) if is_model(each)]
    if found:
        return f"did you mean {found[0]}?"
    return "name the folder that holds am, conf and graph"
