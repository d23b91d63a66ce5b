"""Finds the model's three files, and makes sure that they are whole."""

import hashlib
import importlib.util
from dataclasses import dataclass
from pathlib import Path

from voiceassist.errors import RecogniseError

ENCODER = "encoder_model.ort"
DECODER = "decoder_model_merged.ort"
TOKENS = "tokenizer.bin"

#: SHA-256 of the files in the wheel moonshine-voice 0.1.0, worked out from that wheel.
KNOWN = {
    ENCODER: "94e90a4654fc45cdfedb77c4c08e1739f48862998e58fada384b25118134f221",
    DECODER: "cf524c4862d36e9e5ab032eddc73637efd822d70e868ac575cf1a46e1e4708a0",
    TOKENS: "6884b35fd6377d4c4d32336a0bc152f36b64d1e45b6503683cdc238250a8472d",
}
INSTALL = "run: pip install moonshine-voice==0.1.0 onnxruntime, or use --listener sphinx"
_PACKAGE = "moonshine_voice"
_IN_PACKAGE = Path("assets", "tiny-en")


@dataclass(frozen=True, slots=True)
class ModelFiles:
    """Where a model's files lie.

    Parts:
        encoder, decoder: networks in the format of onnxruntime.
        tokens: the token file.
    """

    encoder: Path
    decoder: Path
    tokens: Path


def installed_model() -> ModelFiles:
    """The English model that the package moonshine-voice carries; the package is not run.

    Raises:
        RecogniseError: the package is missing, of another version, or damaged.
    """
    spec = importlib.util.find_spec(_PACKAGE)
    if spec is None or not spec.submodule_search_locations:
        raise RecogniseError(
            "the model of the listener moonshine is not installed",
            place="package moonshine-voice",
            remedy=INSTALL,
        )
    files = model_in(Path(spec.submodule_search_locations[0]) / _IN_PACKAGE, remedy=INSTALL)
    for path in (files.encoder, files.decoder, files.tokens):
        if _sha256(path) != KNOWN[path.name]:
            raise RecogniseError(
                "the file is damaged or of another version than moonshine-voice 0.1.0",
                place=str(path),
                remedy=f"install it again, {INSTALL}",
            )
    return files


def model_in(folder: Path, remedy: str = "copy the whole model there") -> ModelFiles:
    """The model in a folder of the user's own.

    Raises:
        RecogniseError: there is no such folder, or it lacks a file.
    """
    if not folder.is_dir():
        raise RecogniseError("there is no such folder", place=str(folder), remedy=remedy)
    files = ModelFiles(folder / ENCODER, folder / DECODER, folder / TOKENS)
    missing = [p.name for p in (files.encoder, files.decoder, files.tokens) if not p.is_file()]
    if missing:
        raise RecogniseError(
            f"the model lacks {' and '.join(missing)}", place=str(folder), remedy=remedy
        )
    return files


def read_bytes(path: Path) -> bytes:
    """All of a file.

    Raises:
        RecogniseError: it cannot be read.
    """
    try:
        return path.read_bytes()
    except OSError as error:
        raise RecogniseError(
            f"the file cannot be read ({error.strerror})",
            place=str(path),
            remedy="check that you may read it",
        ) from None


def _sha256(path: Path) -> str:
    return hashlib.sha256(read_bytes(path)).hexdigest()
