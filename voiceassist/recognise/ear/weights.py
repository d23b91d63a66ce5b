"""Reads the network's weights, and makes sure that they are whole."""

import hashlib
import io
import zipfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from voiceassist.errors import RecogniseError
from voiceassist.recognise.carried import read_bytes
from voiceassist.recognise.ear.shape import SIZES

Floats = NDArray[np.float32]
Weights = Mapping[str, Floats]
#: A weight in half or single precision.
Stored = NDArray[np.floating[Any]]

#: The shipped weights, and their SHA-256.
FILE = Path(__file__).with_name("weights.npz")
SHA256 = "9a7e68b5d29a76f5eeebcf2ff79cb05ec3e0921c27e7f1be8c3f7b1a9b1b497e"
_REMEDY = "install voiceassist again, or use --listener sphinx"


def read_weights(path: Path, sha256: str = "") -> Weights:
    """The weights in a file, in single precision; the rest is as ``stored_weights`` has it."""
    return {name: array.astype(np.float32) for name, array in stored_weights(path, sha256).items()}


def stored_weights(path: Path, sha256: str = "") -> Mapping[str, Stored]:
    """The weights in a file, as they are stored.

    Args:
        path: a NumPy archive with one array for each of ``shape.SIZES``.
        sha256: of the whole file; empty for any.

    Raises:
        RecogniseError: the file is missing, damaged or of another version.
    """
    data = read_bytes(path)
    if sha256 and hashlib.sha256(data).hexdigest() != sha256:
        raise _fault(path, "the weights of the listener ear are damaged or of another version")
    try:
        with np.load(io.BytesIO(data), allow_pickle=False) as found:
            arrays = {name: found[name] for name in found.files}
    except (ValueError, TypeError, EOFError, OSError, AttributeError, zipfile.BadZipFile):
        raise _fault(path, "these are no whole weights of the listener ear") from None
    _check(arrays, path, known=bool(sha256))
    return arrays


def _check(arrays: Mapping[str, Stored], path: Path, *, known: bool) -> None:
    """``known`` ones need not be looked at number by number, which takes long."""
    for name, size in SIZES.items():
        if name not in arrays:
            raise _fault(path, f"the weights of the listener ear lack {name}")
        if arrays[name].shape != size or arrays[name].dtype.kind != "f":
            raise _fault(path, f"the weights {name} have another size than {size}")
        if not known and not np.isfinite(arrays[name]).all():
            raise _fault(path, f"the weights {name} are damaged")


def _fault(path: Path, found: str) -> RecogniseError:
    return RecogniseError(found, place=str(path), remedy=_REMEDY)
