"""Sound files held against the lines of a journal that name them."""

from collections.abc import Mapping, Sequence

import pytest

from voiceassist.record.entry import FIRST_PREV, Entry, digest
from voiceassist.record.sound import SoundHarm, checked_sounds, lost_sounds, named_sounds

AT = "2026-01-02T08:00:00.000+01:00"
SOUND = b"fLaC sound"


def chained(*lines: Mapping[str, object]) -> list[Entry]:
    entries: list[Entry] = []
    for fields in lines:
        prev = entries[-1].hash if entries else FIRST_PREV
        entries.append(Entry.made(fields, seq=len(entries) + 1, at=AT, prev=prev))
    return entries


HEARD = {"event": "heard", "sound": "heard-1.flac", "sound_sha256": digest(SOUND)}


TOLD = {
    SoundHarm.LOST: "it could not be kept; the journal says so",
    SoundHarm.MISSING: "line {line} of the journal names it, and it is gone",
    SoundHarm.NO_HASH: "no hash was kept of it",
    SoundHarm.CHANGED: "it is not the sound of line {line} of the journal",
    SoundHarm.UNNAMED: "no line of the journal names it",
}


def harms(
    lines: Sequence[Entry],
    files: Mapping[str, bytes],
    removed: Sequence[str] = (),
) -> list[tuple[SoundHarm, str, int]]:
    def sha256_of(name: str) -> str | None:
        return digest(files[name]) if name in files else None

    found = list(checked_sounds(lines, sha256_of, removed, list(files)))
    assert all(fault.found == TOLD[fault.harm].format(line=fault.sound.seq) for fault in found)
    return [(fault.harm, fault.sound.name, fault.sound.seq) for fault in found]


def test_sound_that_is_as_it_was_kept_is_no_fault() -> None:
    assert harms(chained({"event": "session"}, HEARD), {"heard-1.flac": SOUND}) == []


@pytest.mark.parametrize("at", range(len(SOUND)))
def test_any_changed_byte_of_a_sound_file_is_seen(at: int) -> None:
    changed = SOUND[:at] + bytes([SOUND[at] ^ 1]) + SOUND[at + 1 :]
    lines = chained({"event": "session"}, HEARD)
    assert harms(lines, {"heard-1.flac": changed}) == [(SoundHarm.CHANGED, "heard-1.flac", 2)]


@pytest.mark.parametrize(
    ("more", "files", "removed", "expected"),
    [
        ({}, {}, (), [(SoundHarm.MISSING, "heard-1.flac", 1)]),
        ({}, {}, ("heard-1.flac",), []),
        (
            {"event": "sound-lost", "names": ["heard-1.flac"]},
            {},
            (),
            [(SoundHarm.LOST, "heard-1.flac", 1)],
        ),
        (
            {"event": "heard", "sound": "heard-2.flac"},
            {"heard-1.flac": SOUND, "heard-2.flac": SOUND},
            (),
            [(SoundHarm.NO_HASH, "heard-2.flac", 2)],
        ),
        (
            {},
            {"heard-1.flac": SOUND, "heard-9.flac": SOUND},
            (),
            [(SoundHarm.UNNAMED, "heard-9.flac", 0)],
        ),
    ],
)
def test_what_is_wrong_with_sound_is_told_by_file_and_line(
    more: Mapping[str, object],
    files: Mapping[str, bytes],
    removed: Sequence[str],
    expected: list[tuple[SoundHarm, str, int]],
) -> None:
    assert harms(chained(HEARD, *([more] if more else [])), files, removed) == expected


@pytest.mark.parametrize("name", ["", ".", "..", "../other.flac", "/etc/passwd", 7, None])
def test_a_name_that_leads_elsewhere_is_no_sound(name: object) -> None:
    assert named_sounds(chained({"event": "heard", "sound": name})) == ()


def test_lost_sound_is_gathered_from_all_lines_that_tell_of_it() -> None:
    lines = chained(
        {"event": "sound-lost", "names": ["a"]}, HEARD, {"event": "sound-lost", "names": ["b", "c"]}
    )
    assert lost_sounds(lines) == {"a", "b", "c"}
