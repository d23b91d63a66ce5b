"""A session in a room with a microphone and a loudspeaker: somebody speaks, and listens."""

import json
import queue
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from soundserver import RATE_HZ, SoundServer

Line = dict[str, Any]

_BLOCK = RATE_HZ // 50  # 20 ms
_LOUD = 400  # of 32768; between sounds the virtual devices are at nothing
#: Pauses inside a sentence are shorter.
QUIET_S = 0.6


class Tape:
    """Records one virtual device from its making on, and knows when each sample sounded."""

    def __init__(self, server: SoundServer, device: str) -> None:
        self._process = subprocess.Popen(
            ["parec", "-d", device, "--raw", "--format=s16le", "--channels=1",
             f"--rate={RATE_HZ}", "--latency-msec=20"],
            env=server.environment, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
        )  # fmt: skip
        self._change = threading.Condition()
        self._pcm = bytearray()
        self._loud: list[int] = []  # numbers of loud blocks
        self._zero_s: float | None = None
        self._thread = threading.Thread(target=self._read, daemon=True)
        self._thread.start()

    def _read(self) -> None:
        assert self._process.stdout is not None
        while block := self._process.stdout.read(2 * _BLOCK):
            now_s = time.monotonic()
            samples = np.frombuffer(block[: len(block) // 2 * 2], dtype="<i2")
            with self._change:
                self._pcm += block
                count = len(self._pcm) // 2
                # The least delayed block tells best when the first sample sounded.
                zero_s = now_s - count / RATE_HZ
                self._zero_s = zero_s if self._zero_s is None else min(self._zero_s, zero_s)
                if np.abs(samples.astype(np.int32)).max(initial=0) > _LOUD:
                    self._loud.append(count // _BLOCK - 1)
                self._change.notify_all()

    def _at_s(self, block: int) -> float:
        assert self._zero_s is not None
        return self._zero_s + block * _BLOCK / RATE_HZ

    def last_loud_s(self) -> float | None:
        """When it last fell silent, by ``time.monotonic``; None when it never sounded."""
        with self._change:
            return self._at_s(self._loud[-1] + 1) if self._loud else None

    def first_loud_s(self, after_s: float, limit_s: float) -> float | None:
        """When the first sound after ``after_s`` began; waits up to ``limit_s`` for one."""
        due = time.monotonic() + limit_s
        with self._change:
            while True:
                for block in self._loud:
                    if self._at_s(block) >= after_s:
                        return self._at_s(block)
                if not self._change.wait(max(0.0, due - time.monotonic())):
                    return None

    def wait_quiet(self, quiet_s: float = QUIET_S, limit_s: float = 60) -> None:
        """Wait until ``quiet_s`` of quiet are on the tape, which may come late to it."""
        due = time.monotonic() + limit_s
        while time.monotonic() < due:
            with self._change:
                since = self._loud[-1] + 1 if self._loud else None
                quiet = len(self._pcm) // 2 // _BLOCK - (since or 0)
            if since is None or quiet * _BLOCK > quiet_s * RATE_HZ:
                return
            time.sleep(0.02)
        raise AssertionError(f"it was never quiet for {quiet_s} s")

    def samples(self, start_s: float, end_s: float) -> NDArray[np.int16]:
        """What sounded from ``start_s`` to ``end_s``, by ``time.monotonic``, at ``RATE_HZ``."""
        with self._change:
            assert self._zero_s is not None
            at, to = (max(0, round((s - self._zero_s) * RATE_HZ)) for s in (start_s, end_s))
            return np.frombuffer(bytes(self._pcm[2 * at : 2 * to]), dtype="<i2")

    def forget(self) -> None:
        """Keep no sound so far, for recordings that last."""
        with self._change:
            if self._zero_s is not None:
                self._zero_s += len(self._pcm) // 2 // _BLOCK * _BLOCK / RATE_HZ
            del self._pcm[: len(self._pcm) // 2 // _BLOCK * _BLOCK * 2]
            self._loud.clear()

    def close(self) -> None:
        """Stop recording."""
        self._process.kill()
        self._process.wait()
        self._thread.join(5)
        assert self._process.stdout is not None
        self._process.stdout.close()


@dataclass(frozen=True, slots=True)
class Answered:
    """What came of one thing said.

    Parts:
        spoke_s: when the last of it sounded, by ``time.monotonic``.
        answer_s: when the answer began to sound; None when there was none.
        heard: the line of what was heard; None when nothing was.
    """

    spoke_s: float
    answer_s: float | None
    heard: Line | None


class Room:
    """A running ``voiceassist run``, what it wrote, and both devices on tape."""

    def __init__(self, server: SoundServer, *arguments: str) -> None:
        self.server = server
        self.speaker = Tape(server, "speaker.monitor")
        self.mouth = Tape(server, "mouth.monitor")
        self.process = server.start(
            sys.executable, "-m", "voiceassist", "run", "--json", "--screen", "off", *arguments
        )
        self.lines: list[Line] = []
        self.turns: list[NDArray[np.int16]] = []  # the sound of each of the assistant's turns
        self.said = 0
        self._new: queue.Queue[Line | None] = queue.Queue()
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()

    def _read(self) -> None:
        assert self.process.stdout is not None
        for text in self.process.stdout:
            line = json.loads(text)
            self.lines.append(line)
            self._new.put(line)
        self._new.put(None)

    def await_line(self, event: str, limit_s: float = 30) -> Line | None:
        """The next line of this kind; None when none comes, or the session has ended."""
        due = time.monotonic() + limit_s
        while True:
            try:
                line = self._new.get(timeout=max(0.0, due - time.monotonic()))
            except queue.Empty:
                return None
            if line is None:
                self._new.put(None)
                return None
            if line["event"] == event:
                return line

    def await_turn(self, limit_s: float = 60) -> None:
        """Wait until the assistant has spoken and is silent."""
        began_s = self.speaker.first_loud_s(0.0, limit_s)
        assert began_s is not None, self.fault("the assistant said nothing")
        self._take_turn(began_s)

    def _take_turn(self, began_s: float) -> None:
        self.speaker.wait_quiet()
        last_s = self.speaker.last_loud_s()
        assert last_s is not None
        self.turns.append(self.speaker.samples(began_s - 0.1, last_s + 0.1))

    def say(self, sound: Path, patience_s: float = 8) -> Answered:
        """Say something when the assistant is silent, and wait until it has answered."""
        self.speaker.wait_quiet()
        self._forget_lines()
        self.server.say(sound)
        self.said += 1
        spoke_s = self.mouth.last_loud_s()
        assert spoke_s is not None
        heard = self.await_line("heard", patience_s)
        answer_s = self.speaker.first_loud_s(spoke_s, patience_s) if heard else None
        if answer_s is not None:
            self._take_turn(answer_s)
        return Answered(spoke_s, answer_s, heard)

    def say_until(self, event: str, sound: Path, times: int = 4) -> Answered:
        """Say it again until it leads to ``event``, as one does who is not understood."""
        for _ in range(times):
            before = len(self.lines)
            found = self.say(sound)
            if any(line["event"] == event for line in self.lines[before:]):
                return found
        raise AssertionError(self.fault(f"{sound.stem} led to no {event}"))

    def tape_anew(self, server: SoundServer) -> None:
        """Record the devices of another server."""
        self.speaker.close()
        self.mouth.close()
        self.server = server
        self.speaker, self.mouth = Tape(server, "speaker.monitor"), Tape(server, "mouth.monitor")

    def fault(self, what: str) -> str:
        """``what``, and the last lines of the session."""
        last = [f"{li['event']}: {li.get('text') or li.get('words')}" for li in self.lines[-8:]]
        return f"{what}; the session's last lines: {last}"

    def _forget_lines(self) -> None:
        while not self._new.empty():
            line = self._new.get()
            if line is None:
                self._new.put(None)
                return

    def close(self) -> None:
        """End the session as a power cut would, and the tapes."""
        if self.process.poll() is None:
            self.process.kill()
        self._reader.join(10)
        self.process.communicate()
        self.speaker.close()
        self.mouth.close()


@contextmanager
def room(server: SoundServer, *arguments: str) -> Iterator[Room]:
    """A room, left at the end whatever happens."""
    here = Room(server, *arguments)
    try:
        yield here
    finally:
        here.close()
