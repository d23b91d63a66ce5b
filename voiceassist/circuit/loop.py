"""A loop of sources without any resistance."""

from voiceassist.errors import CircuitError


class LoopError(CircuitError):
    """Sources or joints without any resistance are joined in a loop; ``part`` closes it."""

    def __init__(self, part: str, parts: str) -> None:
        self.part = part
        super().__init__(
            f"{part!r} closes a loop without any resistance (of {parts})",
            remedy="give one of them a resistance",
        )
