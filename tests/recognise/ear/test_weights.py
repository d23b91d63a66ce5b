"""The network's weights: whole, or a reason."""

from pathlib import Path
from typing import Any

import numpy as np
import pytest

from voiceassist.errors import RecogniseError
from voiceassist.recognise.ear.shape import SIZES
from voiceassist.recognise.ear.weights import FILE, SHA256, read_weights


def test_the_shipped_weights_are_those_that_are_known() -> None:
    weights = read_weights(FILE, SHA256)
    assert {name: array.shape for name, array in weights.items()} == dict(SIZES)
    assert FILE.stat().st_size <= 20_000_000


def test_missing_weights_are_told_of(tmp_path: Path) -> None:
    with pytest.raises(RecogniseError, match="cannot be read") as caught:
        read_weights(tmp_path / "none.npz")
    assert str(tmp_path) in caught.value.place


def test_a_folder_in_place_of_the_weights_is_told_of(tmp_path: Path) -> None:
    with pytest.raises(RecogniseError, match="cannot be read"):
        read_weights(tmp_path)


@pytest.mark.parametrize("content", [b"\0" * 4096, b"PK\x03\x04" + b"x" * 100, b"{}", b"\x93NUMPY"])
def test_another_file_in_place_of_the_weights_is_told_of(tmp_path: Path, content: bytes) -> None:
    other = tmp_path / "weights.npz"
    other.write_bytes(content)
    with pytest.raises(RecogniseError, match="no whole weights"):
        read_weights(other)


def test_a_single_array_and_objects_in_place_of_the_weights_are_told_of(tmp_path: Path) -> None:
    np.save(tmp_path / "one.npy", np.zeros(3, np.float16))
    objects: dict[str, Any] = {"head.bias": np.array([{}], object)}
    np.savez(tmp_path / "objects.npz", **objects)
    for name in ("one.npy", "objects.npz"):
        with pytest.raises(RecogniseError, match="no whole weights"):
            read_weights(tmp_path / name)


@pytest.mark.parametrize("length", [0, 1, 1000, 10_000_000])
def test_weights_that_were_cut_are_told_of(tmp_path: Path, length: int) -> None:
    cut = tmp_path / "weights.npz"
    cut.write_bytes(FILE.read_bytes()[:length])
    with pytest.raises(RecogniseError, match="no whole weights"):
        read_weights(cut)
    with pytest.raises(RecogniseError, match="damaged or of another version"):
        read_weights(cut, SHA256)


def test_one_changed_byte_is_told_of(tmp_path: Path) -> None:
    data = bytearray(FILE.read_bytes())
    data[len(data) // 2] ^= 1
    other = tmp_path / "weights.npz"
    other.write_bytes(data)
    with pytest.raises(RecogniseError, match="damaged or of another version"):
        read_weights(other, SHA256)


def saved(path: Path, **changes: object) -> Path:
    arrays: dict[str, object] = {
        name: np.zeros(size, np.float16) for name, size in SIZES.items()
    } | changes
    np.savez(path, **{name: array for name, array in arrays.items() if array is not None})  # type: ignore[arg-type]
    return path


def test_weights_of_another_shape_are_told_of(tmp_path: Path) -> None:
    narrow = saved(tmp_path / "a.npz", **{"head.weight": np.zeros((40, 288), np.float16)})
    with pytest.raises(RecogniseError, match=r"head\.weight"):
        read_weights(narrow)


def test_weights_that_lack_some_are_told_of(tmp_path: Path) -> None:
    with pytest.raises(RecogniseError, match=r"lack norm\.weight"):
        read_weights(saved(tmp_path / "a.npz", **{"norm.weight": None}))


def test_weights_that_are_no_numbers_are_told_of(tmp_path: Path) -> None:
    spoiled = saved(tmp_path / "a.npz", **{"head.bias": np.full(29, np.nan, np.float16)})
    with pytest.raises(RecogniseError, match=r"head\.bias are damaged"):
        read_weights(spoiled)
