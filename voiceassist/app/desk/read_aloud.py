"""Reads a procedure aloud in print: every sentence with its words, its seconds and its slips."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from voiceassist.app import build
from voiceassist.app.desk.prove import setup_of
from voiceassist.prove.aloud import Sentence, sentences
from voiceassist.prove.english import slips


@dataclass(frozen=True, slots=True)
class Aloud:
    """One sentence as it is spoken.

    Parts:
        sentence: with the part of the file it comes from.
        spoken: its text with figures in words.
        seconds: how long it takes at the chosen rate, pauses not counted.
        slips: what is wrong with it by ear.
    """

    sentence: Sentence
    spoken: str
    seconds: float
    slips: tuple[str, ...]

    @property
    def words(self) -> int:
        """How many words are spoken."""
        return len(self.spoken.split())

    def lines(self) -> Iterator[str]:
        """For people: the sentence, and a line for each slip."""
        said = self.sentence
        counted = f"{self.words:3} words {self.seconds:4.1f} s"
        yield f"{counted}  {said.place}, {said.kind}: {self.spoken}"
        for slip in self.slips:
            yield f"{'':18} {slip}"

    def to_json(self) -> dict[str, object]:
        """One JSON object."""
        said = self.sentence
        return {
            "place": said.place,
            "kind": said.kind,
            "text": said.text,
            "words": self.words,
            "seconds": round(self.seconds, 1),
            "slips": list(self.slips),
        }


def read_aloud(names: Sequence[str]) -> Iterator[tuple[str, Aloud]]:
    """The name of each procedure with each sentence that it can speak.

    Raises:
        ResourceError: there is no such procedure.
        ProcedureFaultsError: it has faults.
    """
    shop = build.Components(build.settings({}))
    for name in names:
        written = build.procedure(name, shop.is_reserved)
        for sentence in sentences(setup_of(written.procedure, shop)):
            spoken = shop.to_words(sentence.text)
            seconds = 60 * len(spoken.split()) / shop.settings.rate_wpm
            found = tuple(slips(sentence.text, shop.to_words))
            yield written.procedure.name, Aloud(sentence, spoken, seconds, found)
