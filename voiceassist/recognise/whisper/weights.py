"""Reads the numbers of a Whisper model in CTranslate2's file form.

The form, little-endian: version (u32), name of the specification (string), its revision (u32),
number of variables (u32); each variable is its name (string), number of dimensions (u8), each
dimension (u32), kind of number (u8), length in bytes (u32) and its bytes; then the number of
aliases (u32), each another name and the name it stands for (strings). A string is its length
(u16) and so many bytes, the last of them zero. Numbers of 8 bits are stored multiplied by a
scale for each row, in a variable beside them.
"""

import mmap
import struct
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from voiceassist.errors import RecogniseError

Floats = NDArray[np.float32]
Variables = Mapping[str, NDArray[Any]]

_VERSION = 6
_SPECIFICATION = "WhisperSpec"
_KINDS = {0: "<f4", 1: "i1", 2: "<i2", 3: "<i4", 4: "<f2", 5: "<u2"}
_BFLOAT16 = 5
_SCALE = "_scale"
_AGAIN = "copy the model again, or convert it with CTranslate2"


def read_variables(file: Path) -> Variables:
    """Every variable of a model file as it is stored; none is read before it is used.

    Raises:
        RecogniseError: the file is missing, of another form, another kind of model, or not whole.
    """
    try:
        with file.open("rb") as opened:
            data = mmap.mmap(opened.fileno(), 0, access=mmap.ACCESS_READ)
        return _Reader(memoryview(data)).read()
    except OSError as error:
        raise RecogniseError(
            f"it cannot be read: {error.strerror}", place=str(file), remedy=_AGAIN
        ) from None
    except (struct.error, UnicodeDecodeError, ValueError, KeyError):
        raise RecogniseError(
            "this is no whole Whisper model in CTranslate2's form", place=str(file), remedy=_AGAIN
        ) from None


def floats(variables: Variables, prefix: str) -> dict[str, Floats]:
    """The variables whose names begin with ``prefix``, by the rest of their names."""
    names = {name.removeprefix(prefix): name for name in variables if name.startswith(prefix)}
    return {short: _floats(name, variables) for short, name in names.items() if _SCALE not in short}


class _Reader:
    """Goes through the file once."""

    def __init__(self, data: memoryview) -> None:
        self._data = data
        self._at = 0

    def read(self) -> Variables:
        """All variables."""
        if self._number("I") != _VERSION or self._string() != _SPECIFICATION:
            raise ValueError("another form")
        self._number("I")
        found = dict(self._variable() for _ in range(self._number("I")))
        for _ in range(self._number("I")):
            alias = self._string()
            found[alias] = found[self._string()]
        return found

    def _variable(self) -> tuple[str, NDArray[Any]]:
        name = self._string()
        shape = tuple(self._number("I") for _ in range(self._number("B")))
        kind, length = self._number("B"), self._number("I")
        part = self._data[self._at : self._at + length]
        self._at += length
        if len(part) != length:
            raise ValueError("cut off")
        values: NDArray[Any] = np.frombuffer(part, _KINDS[kind]).reshape(shape)
        if kind == _BFLOAT16:  # the upper half of a 32-bit float
            values = (values.astype("<u4") << 16).view("<f4")
        return name, values

    def _number(self, form: str) -> int:
        (value,) = struct.unpack_from("<" + form, self._data, self._at)
        self._at += struct.calcsize("<" + form)
        return int(value)

    def _string(self) -> str:
        length = self._number("H")
        text = bytes(self._data[self._at : self._at + length])
        self._at += length
        if len(text) != length or not text.endswith(b"\0"):
            raise ValueError("cut off")
        return text[:-1].decode("utf-8")


def _floats(name: str, variables: Variables) -> Floats:
    values = variables[name].astype(np.float32)
    scale = variables.get(name + _SCALE)
    return values if scale is None else values / scale.astype(np.float32).reshape(-1, 1)
