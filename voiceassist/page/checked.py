"""What looking through a session's record gave, as its pages tell it. Pure."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Checked:
    """What was found.

    Parts:
        fault: the first thing wrong with the journal; pages tell only what is before that.
        problems: what else is not as it was written.
        held_by: what the journal was held against; nothing where nobody looked.
        doubted: some of it is about the journal, so nothing that pages tell is proved.
    """

    fault: str = ""
    problems: tuple[str, ...] = ()
    held_by: tuple[str, ...] = ()
    doubted: bool = False

    @property
    def warning(self) -> str:
        """What stands at the top of a page, in sentences; empty when the record is whole."""
        found = "; ".join(filter(None, [self.fault, *self.problems]))
        if self.fault:
            trouble, then = "was altered", "This page tells only what is before that."
        else:
            trouble, then = "is not as it was written", "Have that explained before you rely on it."
        return f"The record of this session {trouble}: {found}. {then}" if found else ""


#: Nobody has looked; the chain of the journal is whole.
UNCHECKED = Checked()
