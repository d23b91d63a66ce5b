"""How a circuit stands when it is drawn: what is live, what is open, what is held to it."""

from collections.abc import Mapping
from dataclasses import dataclass, field

#: Said behind the name of what is live.
LIVE = "live"


@dataclass(frozen=True, slots=True)
class Look:
    """The state that a drawing shows; without one, everything is drawn at rest.

    Parts:
        live: nodes that carry the supply, those behind plugs too.
        closed: of each switch, relay and fuse, whether it lets current pass.
        open_plugs: plugs that are pulled.
        named: nodes whose names are told; None for all.
        is_state: it is that of a vehicle, and what is closed and open is told in words.
    """

    live: frozenset[str] = frozenset()
    closed: Mapping[str, bool] = field(default_factory=dict)
    open_plugs: frozenset[str] = frozenset()
    named: frozenset[str] | None = None
    is_state: bool = False

    def names(self, node: str) -> bool:
        """Whether the name of ``node`` is told."""
        return self.named is None or node in self.named

    def wire(self, node: str) -> str:
        """The style of a line that is joined to ``node``."""
        return "live" if node in self.live else "wire"


AT_REST = Look()
