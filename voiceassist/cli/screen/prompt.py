"""A prompt for lines that are typed at the terminal where the session is shown."""

from voiceassist.app.view import EarState, View
from voiceassist.cli.show import People, warn


class PromptView(View):
    """Invites lines at a terminal, each of which then stands there once.

    Args:
        people: print the session at the same terminal.
    """

    def __init__(self, people: People) -> None:
        self._people = people

    def state(self, state: EarState) -> None:
        """A line is waited for, or has come."""
        if state is EarState.LISTENING:
            self._people.prompt()
        else:
            self._people.entered()

    def close(self) -> None:
        """What comes after begins on a line of its own."""
        self._people.leave_prompt()

    def warn(self, sentence: str) -> None:
        """Tell a person something, on a line of its own."""
        self._people.leave_prompt()
        warn(sentence)
