"""Archives, good ones and such as were made to do harm."""

import io
import stat
import tarfile
import zipfile
from contextlib import suppress
from pathlib import Path

import pytest
from archives import Content, Make, tarred, zipped
from hypothesis import given
from hypothesis import strategies as st

from voiceassist.errors import ModelError
from voiceassist.models.limits import Limits
from voiceassist.models.unpack import unpack

GOOD: Content = {"m/am/final.mdl": b"model", "m/README": b"read me", "m/empty": b""}


FORMS: dict[str, Make] = {
    "zip": zipped, "tar": tarred(""), "tar.gz": tarred("gz"), "tar.bz2": tarred("bz2"),
    "tar.xz": tarred("xz"),
}  # fmt: skip
form = pytest.mark.parametrize("make", FORMS.values(), ids=FORMS)


def unpacked(archive: Path, limits: Limits | None = None) -> Content:
    """What comes out of it."""
    folder = archive.parent / "out"
    folder.mkdir()
    unpack(archive, folder, limits)
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


def refusal(archive: Path, limits: Limits | None = None) -> str:
    """What is said of it; nothing must have come out beside its folder."""
    around = set(archive.parent.parent.rglob("*"))
    with pytest.raises(ModelError) as caught:
        unpacked(archive, limits)
    out = archive.parent / "out"
    new = set(archive.parent.parent.rglob("*")) - around
    assert all(path == out or out in path.parents for path in new)
    assert not any(path.is_symlink() for path in new)
    assert str(caught.value).startswith(f"{archive}: ")
    return str(caught.value)


@pytest.fixture
def archive(tmp_path: Path) -> Path:
    """Where to make one, with room around it."""
    folder = tmp_path / "deep" / "inside"
    folder.mkdir(parents=True)
    return folder / "model.archive"


@form
def test_a_good_archive_comes_out_whole(archive: Path, make: Make) -> None:
    make(archive, GOOD)
    assert unpacked(archive) == GOOD


@pytest.mark.parametrize("name", ["./", "./m/", "m/"])
def test_folders_and_the_folder_itself_may_be_listed(archive: Path, name: str) -> None:
    with tarfile.open(archive, "w:gz") as made:
        entry = tarfile.TarInfo(name)
        entry.type = tarfile.DIRTYPE
        made.addfile(entry)
        file = tarfile.TarInfo("./m/a")
        file.size = 1
        made.addfile(file, io.BytesIO(b"x"))
    assert unpacked(archive) == {"m/a": b"x"}


@form
@pytest.mark.parametrize(
    "name",
    [
        "../evil", "m/../../evil", "/tmp/evil", "//evil", "..\\evil", "C:\\evil", "C:evil",
        "m/con", "NUL.txt", "m/..", "..",
    ],
)  # fmt: skip
def test_a_name_that_leads_out_or_means_a_device_is_refused(
    archive: Path, make: Make, name: str
) -> None:
    make(archive, {"m/good": b"good", name: b"evil"})
    assert "the unsafe name" in refusal(archive)


@pytest.mark.parametrize(
    "kind",
    [
        tarfile.SYMTYPE, tarfile.LNKTYPE, tarfile.CHRTYPE, tarfile.BLKTYPE, tarfile.FIFOTYPE,
    ],
)  # fmt: skip
def test_links_and_devices_in_a_tar_are_refused(archive: Path, kind: bytes) -> None:
    with tarfile.open(archive, "w") as made:
        entry = tarfile.TarInfo("m/link")
        entry.type, entry.linkname = kind, "../../evil"
        made.addfile(entry)
    assert "'m/link' in it is a link or a device; do not use this archive" in refusal(archive)


@pytest.mark.parametrize("kind", [stat.S_IFLNK, stat.S_IFCHR, stat.S_IFIFO])
def test_links_and_devices_in_a_zip_are_refused(archive: Path, kind: int) -> None:
    with zipfile.ZipFile(archive, "w") as made:
        entry = zipfile.ZipInfo("m/link")
        entry.external_attr = (kind | 0o777) << 16
        made.writestr(entry, "../../evil")
    assert "'m/link' in it is a link or a device" in refusal(archive)


@form
def test_a_file_through_a_file_is_refused(archive: Path, make: Make) -> None:
    make(archive, {"m/a": b"x", "m/a/b": b"y"})
    assert "'a' in it is a file and a folder" in refusal(archive)


@pytest.mark.filterwarnings("ignore:Duplicate name")
@form
def test_a_name_that_comes_twice_is_refused(archive: Path, make: Make) -> None:
    make(archive, {"m/a": b"x", "./m/a": b"y"})
    assert "it holds 'a' twice" in refusal(archive)


# --- bombs ---


@pytest.mark.parametrize("name", ["zip", "tar.gz", "tar.bz2", "tar.xz"])
def test_what_unpacks_to_far_more_than_its_size_is_refused(archive: Path, name: str) -> None:
    FORMS[name](archive, {"m/zeros": bytes(60_000_000)})
    assert archive.stat().st_size < 100_000
    assert "it holds more than 52428800 bytes" in refusal(archive)
    assert sum(p.stat().st_size for p in archive.parent.rglob("zeros")) < 60_000_000


@form
def test_the_bytes_that_come_are_counted(archive: Path, make: Make) -> None:
    make(archive, {"a": bytes(600), "b": bytes(600)})
    assert "it holds more than 1000 bytes" in refusal(archive, Limits(bytes=1000))


def test_a_zip_that_lies_about_its_length_is_refused(archive: Path) -> None:
    zipped(archive, {"m/zeros": bytes(60_000_000)})
    whole = archive.read_bytes()
    real, lie = (60_000_000).to_bytes(4, "little"), (6).to_bytes(4, "little")
    assert whole.count(real) == 2
    archive.write_bytes(whole.replace(real, lie))
    refusal(archive)
    assert sum(p.stat().st_size for p in archive.parent.rglob("zeros")) <= 6


def test_a_header_without_end_is_refused(archive: Path) -> None:
    with tarfile.open(archive, "w:gz", format=tarfile.PAX_FORMAT) as made:
        entry = tarfile.TarInfo("m/a")
        entry.pax_headers = {"comment": "x" * 60_000_000}
        made.addfile(entry)
    assert archive.stat().st_size < 100_000
    assert "it holds more than 52428800 bytes" in refusal(archive)


@form
def test_too_many_files_are_refused(archive: Path, make: Make) -> None:
    make(archive, {f"f{n}": b"" for n in range(11)})
    assert "it holds more than 10 files" in refusal(archive, Limits(files=10))


# --- damage ---


@form
def test_an_archive_cut_short_is_refused(archive: Path, make: Make) -> None:
    make(archive, {"m/a": bytes(range(256)) * 40, "m/b": bytes(range(256)) * 40})
    whole = archive.read_bytes()
    archive.write_bytes(whole[: len(whole) // 2])
    assert "this is no whole zip or tar archive; copy or fetch it again" in refusal(archive)


def test_a_changed_byte_in_a_zip_is_noticed(archive: Path) -> None:
    zipped(archive, {"m/a": b"some text that is stored here"})
    whole = bytearray(archive.read_bytes())
    whole[40] ^= 0xFF
    archive.write_bytes(whole)
    assert "this is no whole zip or tar archive" in refusal(archive)


def test_a_zip_with_a_password_is_refused(archive: Path) -> None:
    zipped(archive, {"m/a": b"x"})
    whole = bytearray(archive.read_bytes())
    for mark, offset in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):  # the flags, PKWARE APPNOTE 4.3
        whole[whole.index(mark) + offset] |= 1
    archive.write_bytes(whole)
    assert "it needs a password" in refusal(archive)


@pytest.mark.parametrize("data", [b"", b"text", b"PK", b"PK\x03\x04rubbish", b"\x1f\x8brubbish"])
def test_what_is_no_archive_is_refused(archive: Path, data: bytes) -> None:
    archive.write_bytes(data)
    assert "this is no whole zip or tar archive" in refusal(archive)


@given(st.binary(max_size=400), st.sampled_from([b"", b"PK\x03\x04", b"\x1f\x8b\x08", b"BZh9"]))
def test_rubbish_never_gives_another_error(
    tmp_path_factory: pytest.TempPathFactory, data: bytes, start: bytes
) -> None:
    archive = tmp_path_factory.mktemp("rubbish") / "archive"
    archive.write_bytes(start + data)
    with pytest.raises(ModelError):
        unpacked(archive)


NAMES = st.text(st.sampled_from("ab./\\:~ "), min_size=1, max_size=12)


@given(st.lists(NAMES, min_size=1, max_size=3), st.sampled_from(sorted(FORMS)))
def test_whatever_the_names_nothing_lands_outside(
    tmp_path_factory: pytest.TempPathFactory, names: list[str], form: str
) -> None:
    home = tmp_path_factory.mktemp("home")
    archive = home / "deep" / "archive"
    archive.parent.mkdir()
    FORMS[form](archive, dict.fromkeys(names, b"x"))
    with suppress(ModelError):
        unpacked(archive)
    outside = {p for p in home.rglob("*") if archive.parent / "out" not in {p, *p.parents}}
    assert outside == {archive.parent, archive}
