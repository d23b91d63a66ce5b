"""Messages between a listener's process and ours: a JSON object and bytes beside it.

Each is two lengths (unsigned, 32 bits, big-endian), that of the object's UTF-8 text and that of
the bytes, then both.
"""

import json
import struct
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import IO, Any, cast

from voiceassist.recognise.base import Candidate, HeardClip, ListenerGrammar, Nothing
from voiceassist.recognise.graph import Stepping, WordGraph, graph_of

_LENGTHS = struct.Struct(">II")


@dataclass(frozen=True, slots=True)
class Message:
    """One message.

    Parts:
        about: the object.
        data: the bytes beside it.
    """

    about: Mapping[str, Any]
    data: bytes = b""


@dataclass(frozen=True, slots=True)
class SentGrammar:
    """A grammar as it crosses to another process; it has stepping when ``graph`` is not None."""

    text: str
    vocabulary: frozenset[str]
    graph: WordGraph | None = field(default=None, repr=False)

    def jsgf(self) -> str:
        """The whole grammar as one JSGF 1.0 text."""
        return self.text

    def words(self) -> frozenset[str]:
        """Every word in it."""
        return self.vocabulary


def send(stream: IO[bytes], message: Message) -> None:
    """Write ``message`` at once.

    Raises:
        OSError: nobody reads.
    """
    text = json.dumps(message.about).encode()
    stream.write(_LENGTHS.pack(len(text), len(message.data)) + text + message.data)
    stream.flush()


def receive(stream: IO[bytes]) -> Message | None:
    """The next message; None when the stream ends, be it in the middle of one."""
    head = stream.read(_LENGTHS.size)
    if len(head) < _LENGTHS.size:
        return None
    text_length, data_length = _LENGTHS.unpack(head)
    text, data = stream.read(text_length), stream.read(data_length)
    if (len(text), len(data)) != (text_length, data_length):
        return None
    return Message(json.loads(text), data)


def grammar_to_json(grammar: ListenerGrammar) -> dict[str, Any]:
    """What another process needs of ``grammar``."""
    about: dict[str, Any] = {"jsgf": grammar.jsgf(), "words": sorted(grammar.words())}
    if isinstance(grammar, Stepping):
        graph = graph_of(grammar)
        about |= {"arcs": graph.arcs, "ends": sorted(graph.ends)}
    return about


def grammar_from_json(about: Mapping[str, Any]) -> SentGrammar:
    """The grammar of an object made by ``grammar_to_json``."""
    graph = WordGraph(tuple(about["arcs"]), frozenset(about["ends"])) if "arcs" in about else None
    return SentGrammar(about["jsgf"], frozenset(about["words"]), graph)


def graph_in(grammar: ListenerGrammar) -> WordGraph:
    """The graph of a grammar, be it sent here or not.

    Raises:
        RecogniseError: it is endless.
        TypeError: it cannot be stepped through.
    """
    if isinstance(grammar, SentGrammar) and grammar.graph is not None:
        return grammar.graph
    if isinstance(grammar, Stepping):
        return graph_of(grammar)
    raise TypeError("a grammar that cannot be stepped through")


def heard_to_json(heard: HeardClip) -> dict[str, Any]:
    """``heard`` as an object."""
    return {
        "candidates": [[each.words, each.score] for each in heard.candidates],
        "nothing": heard.nothing,
        "none_of_these": heard.none_of_these,
        "seconds": heard.seconds,
    }


def heard_from_json(about: Mapping[str, Any], listener: str) -> HeardClip:
    """What ``listener`` heard, from an object made by ``heard_to_json``."""
    nothing = about["nothing"]
    return HeardClip(
        listener,
        tuple(Candidate(words, score) for words, score in about["candidates"]),
        None if nothing is None else Nothing(nothing),
        cast("float | None", about["none_of_these"]),
        about["seconds"],
    )
