"""Listeners in a child process: what crashes there leaves the session alive, and nothing behind."""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from voiceassist.devices.wav import read_clip
from voiceassist.errors import RecogniseError
from voiceassist.language.expectation import Expectation
from voiceassist.language.language import Language
from voiceassist.recognise.base import Candidate, Nothing
from voiceassist.recognise.process.child import ListenerEngine
from voiceassist.recognise.process.listener import ProcessListener
from voiceassist.recognise.process.wire import SentGrammar
from voiceassist.recognise.sphinx import SphinxListener
from voiceassist.sound.clip import Clip

FACTORY = "odd_listeners:OddListener"
YES_NO = SentGrammar("#JSGF V1.0; grammar g; public <g> = yes | no;", frozenset({"yes", "no"}))
WELL, ODD = Clip.silence(2), Clip.silence(1)

Make = Callable[..., ProcessListener]


@pytest.fixture
def make() -> Iterator[Make]:
    """Makes listeners that are closed after the test."""
    made: list[ProcessListener] = []

    def listener(*, hear_s: float = 20, **options: object) -> ProcessListener:
        made.append(
            ProcessListener("odd", ListenerEngine(FACTORY, options), hear_s=hear_s, hear_per_s=0)
        )
        return made[-1]

    yield listener
    for one in made:
        one.close()


def does(deed: str) -> dict[str, str]:
    """What the listener does over the clip ``ODD``."""
    return {"1": deed}


def gone(pid: int) -> bool:
    """True when no process has that number, not even one that nobody waited for."""
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return True
    return False


def soon(true: Callable[[], bool], limit_s: float = 10) -> bool:
    """True as soon as ``true()`` is, within the limit."""
    due = time.monotonic() + limit_s
    while not true():
        if time.monotonic() > due:
            return False
        time.sleep(0.02)
    return True


def test_what_the_engine_hears_comes_over_whole(make: Make) -> None:
    listener = make()
    listener.prepare(YES_NO)
    heard = listener.hear(WELL)
    assert heard.candidates == (Candidate("no", 0.0), Candidate("yes", -1.0))
    assert (heard.listener, heard.nothing) == ("odd", None)
    assert (heard.none_of_these, heard.seconds) == (-9.5, 0.25)


def test_it_is_made_at_once_while_the_engine_still_loads(make: Make) -> None:
    began = time.monotonic()
    make(load="hang")
    assert time.monotonic() - began < 5


def test_what_a_library_prints_does_not_get_between(make: Make) -> None:
    listener = make(load="print", deeds=does("print"))
    listener.prepare(YES_NO)
    assert listener.hear(ODD).candidates
    assert listener.hear(WELL).candidates


@pytest.mark.parametrize("deed", ["abort", "segfault", "exit"])
def test_a_crash_costs_one_phrase_and_the_next_is_heard(
    make: Make, tmp_path: Path, deed: str
) -> None:
    once = tmp_path / "once"
    once.touch()
    listener = make(deeds=does(deed), once=str(once))
    listener.prepare(YES_NO)
    first = listener.pid
    assert listener.hear(ODD).nothing is Nothing.FAILED
    assert listener.hear(ODD).candidates
    assert listener.pid != first


def test_a_kill_from_outside_costs_one_phrase(make: Make) -> None:
    listener = make()
    listener.prepare(YES_NO)
    assert listener.pid is not None
    os.kill(listener.pid, signal.SIGKILL)
    assert listener.hear(WELL).nothing is Nothing.FAILED
    assert listener.hear(WELL).candidates


@pytest.mark.parametrize("deed", ["hang", "spin", "spawn and hang"])
def test_an_engine_that_hangs_is_given_up_in_time(make: Make, deed: str) -> None:
    listener = make(deeds=does(deed), hear_s=1)
    listener.prepare(YES_NO)
    began = time.monotonic()
    assert listener.hear(ODD).nothing is Nothing.FAILED
    assert 1 <= time.monotonic() - began < 5
    listener.ready()
    assert listener.hear(WELL).candidates


def test_a_stopped_child_does_not_stop_us_however_long_the_clip(make: Make) -> None:
    listener = make(hear_s=1)
    listener.prepare(YES_NO)
    assert listener.pid is not None
    os.kill(listener.pid, signal.SIGSTOP)
    began = time.monotonic()
    # More than the pipe between the two can hold.
    assert listener.hear(Clip(bytes(10_000_000))).nothing is Nothing.FAILED
    assert 1 <= time.monotonic() - began < 5


def test_the_second_crash_in_a_row_is_told_with_listener_reason_and_remedy(make: Make) -> None:
    listener = make(deeds=does("complain and abort"))
    listener.prepare(YES_NO)
    assert listener.hear(ODD).nothing is Nothing.FAILED
    with pytest.raises(RecogniseError) as caught:
        listener.hear(ODD)
    assert str(caught.value) == (
        "the listener odd crashed (signal 6: the graph is null); "
        "go on with: voiceassist run --resume --typed, or choose another --listener"
    )


def test_crashes_with_a_phrase_heard_between_are_not_in_a_row(make: Make) -> None:
    listener = make(deeds=does("abort"))
    listener.prepare(YES_NO)
    for _ in range(3):
        assert listener.hear(ODD).nothing is Nothing.FAILED
        assert listener.hear(WELL).candidates


def test_a_bug_in_an_engine_is_a_phrase_not_heard_and_no_crash(make: Make) -> None:
    listener = make(deeds=does("raise"))
    listener.prepare(YES_NO)
    before = listener.pid
    for _ in range(3):
        assert listener.hear(ODD).nothing is Nothing.FAILED
    assert listener.pid == before


def test_an_engine_that_cannot_load_says_why_in_its_own_words(make: Make) -> None:
    listener = make(load="refuse")
    for _ in range(2):
        with pytest.raises(RecogniseError) as caught:
            listener.prepare(YES_NO)
        assert str(caught.value) == "model: the model is half copied; copy it again"
    with pytest.raises(RecogniseError, match="half copied"):
        listener.ready()


@pytest.mark.parametrize(
    ("load", "reason"), [("abort", "signal 6"), ("exit", "exit status 3"), ("raise", "a bug")]
)
def test_an_engine_that_crashes_while_it_loads_is_told_of(
    make: Make, load: str, reason: str
) -> None:
    with pytest.raises(RecogniseError, match=reason):
        make(load=load).prepare(YES_NO)
    with pytest.raises(RecogniseError, match=reason):
        make(load=load).ready()


def test_a_word_the_engine_lacks_is_named(make: Make) -> None:
    listener = make()
    bad = SentGrammar("", frozenset({"yes", "unspeakable"}))
    with pytest.raises(RecogniseError, match="'unspeakable' has no pronunciation; leave it out"):
        listener.prepare(bad)
    listener.prepare(YES_NO)
    assert listener.hear(WELL).candidates


def test_a_grammar_that_kills_the_engine_is_told_of(make: Make) -> None:
    with pytest.raises(RecogniseError, match="signal 6"):
        make().prepare(SentGrammar("", frozenset({"deadly"})))


def test_another_grammar_takes_the_place_of_the_first(make: Make) -> None:
    listener = make()
    listener.prepare(YES_NO)
    listener.prepare(SentGrammar("", frozenset({"bright"})))
    assert [each.words for each in listener.hear(WELL).candidates] == ["bright"]


def test_after_a_restart_the_grammar_is_still_the_same(make: Make, tmp_path: Path) -> None:
    once = tmp_path / "once"
    once.touch()
    listener = make(deeds=does("abort"), once=str(once))
    listener.prepare(SentGrammar("", frozenset({"bright"})))
    listener.hear(ODD)
    assert [each.words for each in listener.hear(ODD).candidates] == ["bright"]


def test_close_leaves_no_process(make: Make) -> None:
    listener = make()
    listener.ready()
    pid = listener.pid
    assert pid is not None
    listener.close()
    assert gone(pid)
    listener.close()


def test_close_ends_an_engine_that_still_loads_and_what_it_has_started(make: Make) -> None:
    listener = make(load="spawn and hang")
    pid = listener.pid
    assert pid is not None
    assert soon(lambda: len(group(pid)) == 2)
    listener.close()
    assert soon(lambda: group(pid) == [])


def test_a_listener_that_is_forgotten_leaves_no_process() -> None:
    listener = ProcessListener("odd", ListenerEngine(FACTORY))
    pid = listener.pid
    assert pid is not None
    del listener
    assert soon(lambda: gone(pid))


@pytest.mark.parametrize("deed", ["well", "hang"])
def test_the_child_ends_when_its_parent_is_killed(tmp_path: Path, deed: str) -> None:
    program = (
        "import sys\n"
        "from voiceassist.recognise.process.child import ListenerEngine\n"
        "from voiceassist.recognise.process.listener import ProcessListener\n"
        "from voiceassist.recognise.process.wire import SentGrammar\n"
        "from voiceassist.sound.clip import Clip\n"
        f"engine = ListenerEngine({FACTORY!r}, {{'deeds': {{'1': {deed!r}}}}})\n"
        "listener = ProcessListener('odd', engine)\n"
        "listener.prepare(SentGrammar('', frozenset({'yes'})))\n"
        "print(listener.pid, flush=True)\n"
        "while True: listener.hear(Clip.silence(1))\n"
    )
    parent = subprocess.Popen(
        [sys.executable, "-c", program],
        stdout=subprocess.PIPE,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))},
    )
    assert parent.stdout is not None
    with parent:
        child = int(parent.stdout.readline())
        assert not gone(child)
        parent.kill()
    assert soon(lambda: group(child) == [])


def group(leader: int) -> list[int]:
    """The processes that live in the group of ``leader``, those that have ended left out."""
    found = []
    for folder in Path("/proc").glob("[0-9]*"):
        try:
            state, _, number = (folder / "stat").read_text().rpartition(")")[2].split()[:3]
        except (FileNotFoundError, ProcessLookupError):
            continue
        if int(number) == leader and state != "Z":
            found.append(int(folder.name))
    return found


def test_it_must_be_prepared_and_fed_at_its_rate(make: Make) -> None:
    listener = make()
    with pytest.raises(RuntimeError, match="prepare"):
        listener.hear(WELL)
    listener.prepare(YES_NO)
    with pytest.raises(ValueError, match="8000"):
        listener.hear(Clip.silence(1, 8000))


def test_any_listener_hears_the_same_in_a_child(english: Language, pronunciations: str) -> None:
    file = Path(__file__).parents[2] / "audio_fixtures" / "demo" / "13-command-slow.wav"
    grammar, clip = english.compose(Expectation(("voltage",))), read_clip(file)
    here = SphinxListener(pronunciations)
    here.prepare(grammar)
    engine = ListenerEngine(
        "voiceassist.recognise.sphinx:SphinxListener", {"pronunciations": pronunciations}
    )
    there = ProcessListener("sphinx", engine)
    try:
        there.prepare(grammar)
        ours, theirs = here.hear(clip), there.hear(clip)
    finally:
        there.close()
    assert theirs.candidates == ours.candidates
    assert theirs.none_of_these == ours.none_of_these
