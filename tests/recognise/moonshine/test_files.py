"""A model that is missing, damaged or another one gives one clear sentence."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from voiceassist.errors import RecogniseError
from voiceassist.recognise.choose import choose_listener
from voiceassist.recognise.moonshine.files import DECODER, ENCODER, TOKENS, ModelFiles, model_in
from voiceassist.recognise.moonshine.listener import MoonshineListener

HOUSE = Path(__file__).parents[3]
EXTRA = "pip install moonshine-voice==0.1.0 onnxruntime"
START = """
from voiceassist.errors import RecogniseError
from voiceassist.recognise.choose import choose_listener
try:
    choose_listener("moonshine")
except RecogniseError as error:
    print(error)
"""


def said(program: str, *paths: Path) -> str:
    """What a fresh interpreter prints that finds packages in ``paths`` first."""
    found = os.pathsep.join(map(str, [*paths, HOUSE]))
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", program],
        capture_output=True,
        text=True,
        timeout=60,
        env={**os.environ, "PYTHONPATH": found},
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert done.stderr == ""
    return done.stdout


@pytest.fixture
def copy(tmp_path: Path, model: ModelFiles) -> Path:
    """A folder with a copy of the model."""
    folder = tmp_path / "moonshine_voice" / "assets" / "tiny-en"
    folder.mkdir(parents=True)
    for path in (model.encoder, model.decoder, model.tokens):
        shutil.copyfile(path, folder / path.name)
    return folder


@pytest.mark.parametrize("missing", ["onnxruntime", "moonshine_voice"])
def test_a_missing_package_gives_one_sentence_that_names_the_extra(missing: str) -> None:
    text = said(f"import sys; sys.modules[{missing!r}] = None\n{START}")
    assert text.count("\n") == 1
    assert EXTRA in text
    assert missing.replace("_", "-") in text


def test_listeners_can_be_chosen_without_the_extra() -> None:
    blocked = "import sys; sys.modules.update(onnxruntime=None, moonshine_voice=None)\n"
    text = said(blocked + "from voiceassist.recognise.choose import LISTENERS; print(*LISTENERS)")
    assert "moonshine" in text.split()


@pytest.mark.parametrize("name", [ENCODER, DECODER, TOKENS])
def test_one_changed_byte_in_the_installed_package_is_noticed(copy: Path, name: str) -> None:
    damaged = copy / name
    data = bytearray(damaged.read_bytes())
    data[len(data) // 2] ^= 1
    damaged.write_bytes(data)
    (copy.parents[1] / "__init__.py").write_text("")
    text = said(START, copy.parents[2])
    assert text.startswith(f"{damaged}: the file is damaged or of another version")
    assert text.count("\n") == 1
    assert EXTRA in text


@pytest.mark.parametrize("name", [ENCODER, DECODER, TOKENS])
def test_a_file_that_is_not_there_is_named(copy: Path, name: str) -> None:
    (copy / name).unlink()
    with pytest.raises(RecogniseError, match=f"lacks {name}; copy the whole model there"):
        MoonshineListener(copy)


@pytest.mark.parametrize("name", [ENCODER, DECODER, TOKENS])
@pytest.mark.parametrize("share", [0.0, 0.5, 0.99])
def test_a_half_copied_file_is_named(copy: Path, name: str, share: float) -> None:
    whole = (copy / name).read_bytes()
    (copy / name).write_bytes(whole[: round(len(whole) * share)])
    with pytest.raises(RecogniseError) as caught:
        MoonshineListener(copy)
    assert caught.value.place == str(copy / name)
    assert "again" in caught.value.remedy


@pytest.mark.parametrize(("name", "other"), [(ENCODER, DECODER), (DECODER, ENCODER)])
def test_another_network_is_refused_by_its_shape(copy: Path, name: str, other: str) -> None:
    shutil.copyfile(copy / other, copy / name)
    with pytest.raises(RecogniseError, match=r"the network has .* input .*; use the tiny model"):
        MoonshineListener(copy)


def test_a_folder_that_is_not_there_is_named(tmp_path: Path) -> None:
    with pytest.raises(RecogniseError, match="nowhere: there is no such folder; copy"):
        model_in(tmp_path / "nowhere")


def test_a_model_of_the_users_own_is_heard_with(copy: Path) -> None:
    made = choose_listener("moonshine", model=str(copy))
    assert made.name == "moonshine"
    made.close()


@pytest.mark.parametrize("language", ["ko", "de", "e"])
def test_another_language_than_english_is_refused(language: str) -> None:
    with pytest.raises(RecogniseError, match=f"English only, not '{language}'; choose another"):
        choose_listener("moonshine", language=language)
