"""Models are kept whole, under a name, with checksums."""

import hashlib
import json
import os
import time
from pathlib import Path

import pytest
from archives import tarred, zipped

from voiceassist.errors import ModelError
from voiceassist.models.kinds import kind_of
from voiceassist.models.limits import Limits
from voiceassist.models.store import Fault, Store, Wish

FLAT = {"final.mdl": b"weights", "mfcc.conf": b"c", "Gr.fst": b"g"}
VOSK = {"am/final.mdl": b"acoustic", "graph/Gr.fst": b"grammar", "conf/model.conf": b"--x"}


def folder(at: Path, content: dict[str, bytes]) -> Path:
    """A folder of these files."""
    for name, data in content.items():
        (at / name).parent.mkdir(parents=True, exist_ok=True)
        (at / name).write_bytes(data)
    return at


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return Store(tmp_path / "data" / "models")


@pytest.fixture
def source(tmp_path: Path) -> Path:
    return folder(tmp_path / "small-ko", VOSK)


def refusal(store: Store, wish: Wish) -> str:
    """What is said; and nothing is kept, not even half of it."""
    before = set(store.home.rglob("*")) if store.home.exists() else set()
    with pytest.raises(ModelError) as caught:
        store.add(wish)
    assert set(store.home.rglob("*")) <= before
    return str(caught.value)


@pytest.mark.parametrize(
    ("content", "kind"),
    [
        (VOSK, "vosk"),
        ({"final.mdl": b"m", "mfcc.conf": b"c", "Gr.fst": b"g"}, "vosk"),
        ({"final.mdl": b"m"}, None),
        ({"am/other": b"m"}, None),
    ],
)
def test_the_listener_is_told_by_the_files(
    tmp_path: Path, content: dict[str, bytes], kind: str | None
) -> None:
    assert kind_of(folder(tmp_path / "m", content)) == kind


def test_a_folder_is_kept_with_its_checksums(store: Store, source: Path) -> None:
    store.add(Wish(str(source), language="ko"))
    assert store.names() == ("small-ko",)
    kept = store.get("small-ko")
    assert (kept.manifest.kind, kept.manifest.language) == ("vosk", "ko")
    assert (kept.manifest.source, kept.manifest.verified) == (str(source), False)
    assert {n: f.sha256 for n, f in kept.manifest.files.items()} == {
        name: hashlib.sha256(data).hexdigest() for name, data in VOSK.items()
    }
    assert kept.manifest.bytes == sum(map(len, VOSK.values()))
    assert {n: (kept.folder / n).read_bytes() for n in VOSK} == VOSK
    assert {n: (source / n).read_bytes() for n in VOSK} == VOSK


@pytest.mark.parametrize("ending", ["zip", "tar.gz", "whl", "tgz", "tar"])
def test_an_archive_is_kept_under_its_own_name(store: Store, tmp_path: Path, ending: str) -> None:
    file = tmp_path / f"tiny.v1.{ending}"
    make = zipped if ending in {"zip", "whl"} else tarred("" if ending == "tar" else "gz")
    make(file, {f"some/where/{name}": data for name, data in FLAT.items()} | {"README": b""})
    kept = store.add(Wish(str(file)))
    assert kept.name == "tiny.v1"
    assert set(kept.manifest.files) == set(FLAT)
    assert (kept.folder / "final.mdl").read_bytes() == b"weights"


def test_the_sum_the_user_gives_must_be_that_of_the_archive(store: Store, tmp_path: Path) -> None:
    file = tmp_path / "tiny.zip"
    zipped(file, FLAT)
    sha256 = hashlib.sha256(file.read_bytes()).hexdigest()
    said = refusal(store, Wish(str(file), sha256="0" * 64))
    assert said.startswith(f"{file}: its SHA-256 is {sha256}, not the one given; do not use it")
    assert store.add(Wish(str(file), sha256=sha256.upper())).manifest.verified


def test_a_link_to_a_file_is_kept_as_the_file(store: Store, tmp_path: Path, source: Path) -> None:
    links = tmp_path / "links"
    for name in VOSK:
        (links / name).parent.mkdir(parents=True, exist_ok=True)
        (links / name).symlink_to(source / name)
    (links / "loop").symlink_to(links)
    kept = store.add(Wish(str(links)))
    assert not any(path.is_symlink() for path in kept.folder.rglob("*"))
    assert set(kept.manifest.files) == set(VOSK)


@pytest.mark.parametrize(
    ("name", "found"),
    [("../up", "no name"), (".hidden", "no name"), ("a/b", "no name"), ("x" * 65, "no name")],
)
def test_a_name_that_is_none_is_refused(store: Store, source: Path, name: str, found: str) -> None:
    assert found in refusal(store, Wish(str(source), name=name))


def test_a_name_that_is_taken_is_refused_and_the_first_one_stays(
    store: Store, source: Path, tmp_path: Path
) -> None:
    store.add(Wish(str(source), name="one"))
    other = folder(tmp_path / "other", FLAT)
    assert "there is a model 'one' already; give another --name" in refusal(
        store, Wish(str(other), name="one")
    )
    assert store.verify("one") == ()
    assert store.get("one").manifest.kind == "vosk"


def test_what_is_no_model_is_refused(store: Store, tmp_path: Path) -> None:
    other = folder(tmp_path / "other", {"a.txt": b"text"})
    assert "there is no model in it for vosk" in refusal(store, Wish(str(other)))


def test_two_models_at_once_are_refused_by_name(store: Store, tmp_path: Path) -> None:
    folder(tmp_path / "two" / "a", VOSK)
    folder(tmp_path / "two" / "b", FLAT)
    assert "there are several models in it: a, b; add them one by one" in refusal(
        store, Wish(str(tmp_path / "two"))
    )


def test_what_is_not_there_is_told(store: Store, tmp_path: Path) -> None:
    assert "there is no such folder or file; name a folder, an archive or an https" in refusal(
        store, Wish(str(tmp_path / "none"))
    )


def test_a_folder_has_no_sum(store: Store, source: Path) -> None:
    assert "a folder has no SHA-256 of its own" in refusal(
        store, Wish(str(source), sha256="0" * 64)
    )


def test_limits_hold_for_a_folder_too(tmp_path: Path, source: Path) -> None:
    small = Store(tmp_path / "models", Limits(bytes=10))
    assert "it holds more than 10 bytes" in refusal(small, Wish(str(source)))
    few = Store(tmp_path / "models", Limits(files=2))
    assert "it holds more than 2 files" in refusal(few, Wish(str(source)))


def test_an_evil_archive_leaves_nothing(store: Store, tmp_path: Path) -> None:
    file = tmp_path / "evil.zip"
    zipped(file, {**FLAT, "../../../evil": b"x"})
    assert f"{file}: it holds the unsafe name" in refusal(store, Wish(str(file)))
    assert not list(tmp_path.rglob("evil"))


def test_what_a_killed_adding_left_over_is_cleared_after_a_day(store: Store, source: Path) -> None:
    old, young = store.home / ".new-old", store.home / ".new-young"
    for left_over in (old, young):
        (left_over / "unpacked").mkdir(parents=True)
    os.utime(old, (time.time() - 90_000,) * 2)
    store.add(Wish(str(source)))
    assert not old.exists()
    assert young.exists()


# --- verify ---


def test_a_model_as_it_was_kept_is_verified(store: Store, source: Path) -> None:
    store.add(Wish(str(source)))
    assert store.verify("small-ko") == ()
    assert store.get("small-ko").manifest.verified


def test_every_fault_is_told(store: Store, source: Path) -> None:
    kept = store.add(Wish(str(source)))
    store.verify("small-ko")
    (kept.folder / "am" / "final.mdl").write_bytes(b"acoustik")  # as long as it was
    (kept.folder / "conf" / "model.conf").unlink()
    (kept.folder / "graph" / "new").write_bytes(b"")
    assert store.verify("small-ko") == (
        Fault("am/final.mdl", "changed"),
        Fault("conf/model.conf", "missing"),
        Fault("graph/new", "not in the manifest"),
    )
    assert not store.get("small-ko").manifest.verified


def test_a_file_that_became_a_link_is_changed(store: Store, source: Path) -> None:
    kept = store.add(Wish(str(source)))
    file = kept.folder / "am" / "final.mdl"
    file.unlink()
    file.symlink_to(source / "am" / "final.mdl")
    assert store.verify("small-ko") == (Fault("am/final.mdl", "changed"),)


@pytest.mark.parametrize("text", ["", "{}", "[]", '{"files": {"a": {"bytes": -1}}}'])
def test_a_damaged_manifest_is_told(store: Store, source: Path, text: str) -> None:
    store.add(Wish(str(source)))
    file = store.home / "small-ko" / "manifest.json"
    file.write_text(text)
    with pytest.raises(ModelError, match="it is missing or damaged; delete the folder"):
        store.verify("small-ko")


def test_a_name_that_is_not_kept_is_told_with_those_that_are(store: Store, source: Path) -> None:
    with pytest.raises(ModelError, match="'x'; those kept: none so far"):
        store.get("x")
    store.add(Wish(str(source)))
    with pytest.raises(ModelError, match="there is no model 'x'; those kept: small-ko"):
        store.get("x")


def test_other_things_in_the_folder_are_no_models(store: Store, source: Path) -> None:
    store.add(Wish(str(source)))
    (store.home / ".new-left-over").mkdir()
    (store.home / ".new-left-over" / "manifest.json").write_text(json.dumps({}))
    (store.home / "notes.txt").write_text("")
    assert store.names() == ("small-ko",)


def test_a_file_where_the_folder_should_be_is_told(tmp_path: Path, source: Path) -> None:
    (tmp_path / "file").write_text("")
    assert "it cannot be kept" in refusal(Store(tmp_path / "file"), Wish(str(source)))
