"""What looking through a session's record gave, as its pages tell it. Pure."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Checked:
    """What was found.

    Parts:
        fault: the first thing wrong with the journal; pages tell only what is before that.
        problems: what else is not as it was written.
        held_by: what the journal was held against; nothing where nobody looked.
    """

    fault: str = ""
    problems: tuple[str, ...] = ()
    held_by: tuple[str, ...] = ()

    @property
    def whole(self) -> bool:
        """Nothing speaks against the record."""
        return not (self.fault or self.problems)

    @property
    def warning(self) -> str:
        """What stands at the top of a page, in sentences; empty when the record is whole."""
        if self.fault:
            found = "; ".join([self.fault, *self.problems])
            return f"The record was altered: {found}. This page tells only what is before that."
        if self.problems:
            found = "; ".join(self.problems)
            return (
                f"The record is not as it was written: {found}. Nothing here is proof of the job."
            )
        return ""


#: Nobody has looked; the chain of the journal is whole.
UNCHECKED = Checked()
