"""The rules of a language by name, for what each topic of loose talk needs of them."""

from collections.abc import Mapping
from dataclasses import dataclass

from voiceassist.language.jsgf import Expression
from voiceassist.language.network import Node
from voiceassist.language.shaping import words_of
from voiceassist.language.walking import Walker


@dataclass(frozen=True, slots=True)
class Rules:
    """The rules of a language as they are at one step.

    Parts:
        starts: where the network of each begins.
        bodies: each as it is written.
    """

    starts: Mapping[str, Node]
    bodies: Mapping[str, Expression]

    def walker(self, name: str) -> Walker | None:
        """Walks through a rule; None where the language has none of this name."""
        return Walker(self.starts[name]) if name in self.starts else None

    def words(self, name: str) -> frozenset[str]:
        """Every word of a rule; none where the language has none of this name."""
        return words_of({name: self.bodies[name]}) if name in self.bodies else frozenset()
