"""How a circuit stands when it is drawn: what is live, what is open, what is held to it."""

from dataclasses import dataclass

#: Said behind the name of what is live.
LIVE = "live"


@dataclass(frozen=True, slots=True)
class Look:
    """The state that a drawing shows; without one, everything is drawn at rest.

    Parts:
        live: nodes that carry the supply, those behind plugs too.
        closed: switches and relays that let current pass.
        opened: switches, relays and fuses that do not.
        open_plugs: plugs that are pulled.
        named: nodes whose names are told; None for all.
        going_on: nodes that lead on to what is not drawn.
        is_state: it is that of a vehicle, and what is closed and open is told in words.
    """

    live: frozenset[str] = frozenset()
    closed: frozenset[str] = frozenset()
    opened: frozenset[str] = frozenset()
    open_plugs: frozenset[str] = frozenset()
    named: frozenset[str] | None = None
    going_on: frozenset[str] = frozenset()
    is_state: bool = False

    def names(self, node: str) -> bool:
        """Whether the name of ``node`` is told."""
        return self.named is None or node in self.named

    def wire(self, node: str) -> str:
        """The style of a line that is joined to ``node``."""
        return "live" if node in self.live else "wire"


AT_REST = Look()


def spoken(node: str) -> str:
    """A node as it is named to a person: one behind a plug is a pin on the part's side."""
    pin, behind, _ = node.partition(" behind ")
    return f"{pin}, part side" if behind else node
