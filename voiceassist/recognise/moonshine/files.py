"""Finds the model's three files, and makes sure that they are whole."""

from dataclasses import dataclass
from pathlib import Path

from voiceassist.errors import RecogniseError
from voiceassist.recognise.carried import Carrier

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
_CARRIER = Carrier(
    package="moonshine_voice",
    release="moonshine-voice 0.1.0",
    folder=Path("assets", "tiny-en"),
    sha256=KNOWN,
    purpose="the model of the listener moonshine",
    install=INSTALL,
)


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
    """The English model that the package moonshine-voice carries.

    Raises:
        RecogniseError: the package is missing, of another version, or damaged.
    """
    return model_in(_CARRIER.files())


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
