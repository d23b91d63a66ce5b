"""The program in a process of its own that need not import it first, for tests.

A server that has imported the program and read its language forks once for each call, so that a
call costs what it does and not what starting costs. How the program starts is seen by the tests
that start it outright: those of stopping, of privacy, of a terminal, of the wheel.
"""

import atexit
import gc
import io
import json
import os
import signal
import socket
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import IO, NoReturn

#: What most commands import; the rest is imported when it is asked for, as ever.
_READY = (
    "voiceassist.cli.main",
    "voiceassist.app.sessions",
    "voiceassist.app.desk.check",
    "voiceassist.app.desk.draw",
    "voiceassist.app.pages.pages",
    "voiceassist.app.facts_given",
    "voiceassist.app.new_file",
    "voiceassist.app.records.checked",
    "voiceassist.app.records.several",
    "voiceassist.app.records.verify",
    "voiceassist.app.rehearsal.mark_line",
    "voiceassist.app.rehearsal.rehearsal",
    "voiceassist.app.rehearsal.vehicle",
    "voiceassist.app.workers.choose",
    "voiceassist.archive.taking",
    "voiceassist.circuit.trial",
    "voiceassist.cli.screen.choose",
    "voiceassist.page.pdf",
    "voiceassist.recognise.dictionary",
    "voiceassist.recognise.pronunciations",
    "voiceassist.rehearse.free",
)
_LONGEST = 1_000_000


def run(
    arguments: Sequence[str], typed: str, variables: Mapping[str, str], timeout_s: float
) -> subprocess.CompletedProcess[str]:
    """What ``voiceassist`` does with these arguments, input and environment.

    Raises:
        subprocess.TimeoutExpired: it did not end in time; it is killed then.
    """
    asked = {"arguments": list(arguments), "env": dict(variables), "cwd": os.getcwd()}
    mask = os.umask(0)
    os.umask(mask)
    with tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as err, _server() as server:
        reading, writing = os.pipe()
        words = json.dumps(asked | {"umask": mask}).encode()
        socket.send_fds(server, [words], [reading, out.fileno(), err.fileno()])
        os.close(reading)
        threading.Thread(target=_type, args=(writing, typed.encode()), daemon=True).start()
        pid = int(server.recv(20))
        server.settimeout(timeout_s)
        try:
            code = int(server.recv(20))
        except TimeoutError:
            os.killpg(pid, signal.SIGKILL)
            raise subprocess.TimeoutExpired(list(arguments), timeout_s) from None
        return subprocess.CompletedProcess(arguments, code, _text(out), _text(err))


def _type(writing: int, typed: bytes) -> None:
    try:
        with open(writing, "wb") as to:
            to.write(typed)
    except BrokenPipeError:
        pass  # it ended without having read all of it


def _text(file: IO[bytes]) -> str:
    file.seek(0)
    text = file.read().decode("utf-8")
    return text.replace("\r\n", "\n").replace("\r", "\n")  # as ``text=True`` has it


# --- the server ---


def _server() -> socket.socket:
    """A connection to the server of this process, which is started with the first one."""
    found = socket.socket(socket.AF_UNIX, socket.SOCK_SEQPACKET)
    found.setsockopt(socket.SOL_SOCKET, socket.SO_SNDBUF, _LONGEST)
    found.connect(_started(os.getpid()))
    return found


@cache
def _started(_of: int) -> str:
    """Its address, which no file system holds (Linux, unix(7))."""
    address = f"\0voiceassist-tests-{os.getpid()}"
    process = subprocess.Popen(
        [sys.executable, __file__, address[1:]], stdin=subprocess.DEVNULL, stdout=subprocess.PIPE
    )
    atexit.register(process.kill)
    assert process.stdout is not None
    assert process.stdout.readline() == b"ready\n"
    return address


def _serve(address: str) -> NoReturn:
    for name in _READY:
        __import__(name)
    _read_what_sessions_share()
    listening = socket.socket(socket.AF_UNIX, socket.SOCK_SEQPACKET)
    listening.bind(f"\0{address}")
    listening.listen(64)
    parent = os.getppid()
    print("ready", flush=True)
    listening.settimeout(1)
    while os.getppid() == parent:
        try:
            caller, _ = listening.accept()
        except TimeoutError:
            continue
        if not os.fork():
            listening.close()
            _watch(caller)
        caller.close()
        _reap()
    os._exit(0)


def _read_what_sessions_share() -> None:
    """The language, with its loose talk, how limits are written, options, and forms of pages."""
    from voiceassist.app.build import Components
    from voiceassist.app.settings.settings import Settings
    from voiceassist.cli.main import commands
    from voiceassist.measure.expression import LimitExpression
    from voiceassist.page import html

    components = Components(Settings())
    components.language.talk.read()
    components.guesser()
    LimitExpression.parse("11.8 V to 12.9 V")
    commands()
    for form in (Path(html.__file__).parent / "templates").glob("*.html"):
        html._environment().get_template(form.name)
    gc.freeze()


def _reap() -> None:
    """Let go of those that have watched to their end."""
    try:
        while os.waitpid(-1, os.WNOHANG)[0]:
            pass
    except ChildProcessError:
        pass


def _watch(caller: socket.socket) -> NoReturn:
    """Run the program in a child of its own and tell the caller how it ended."""
    words, files, _, _ = socket.recv_fds(caller, _LONGEST, 3)
    pid = os.fork()
    if not pid:
        caller.close()
        _become(json.loads(words), files)
    for file in files:
        os.close(file)
    caller.send(str(pid).encode())
    _, status = os.waitpid(pid, 0)
    caller.send(str(os.waitstatus_to_exitcode(status)).encode())
    os._exit(0)


def _become(asked: Mapping[str, object], files: Sequence[int]) -> NoReturn:
    """Be the program, as ``python -m voiceassist`` makes it."""
    os.setsid()
    for file, number in zip(files, (0, 1, 2), strict=True):
        os.dup2(file, number)
        os.close(file)
    environment, arguments = asked["env"], asked["arguments"]
    assert isinstance(environment, dict)
    assert isinstance(arguments, list)
    os.environ.clear()
    os.environ.update(environment)
    time.tzset()
    os.chdir(str(asked["cwd"]))
    os.umask(int(str(asked["umask"])))
    encoding, _, errors = os.environ.get("PYTHONIOENCODING", "utf-8").partition(":")
    sys.stdin = io.TextIOWrapper(_bytes(0, "rb"), encoding, errors or "strict")
    sys.stdout = io.TextIOWrapper(_bytes(1, "wb"), encoding, errors or "strict")
    sys.stderr = io.TextIOWrapper(
        _bytes(2, "wb"), encoding, "backslashreplace", line_buffering=True, write_through=True
    )
    sys.argv = ["voiceassist", *arguments]
    os._exit(_ended())


def _bytes(number: int, mode: str) -> IO[bytes]:
    return open(number, mode, closefd=False)


def _ended() -> int:
    """Run the program to its end; the exit code, as the interpreter gives it."""
    import traceback

    from voiceassist.__main__ import main

    try:
        main()
        code: object = 0
    except SystemExit as end:
        code = end.code
    except BaseException:
        traceback.print_exc()
        code = 1
    try:
        for stream in (sys.stdout, sys.stderr):
            if stream is not None:
                stream.flush()
    except OSError:
        return 120  # as the interpreter ends that cannot write its last words
    return code if isinstance(code, int) else 0 if code is None else 1


if __name__ == "__main__":
    _serve(sys.argv[1])
