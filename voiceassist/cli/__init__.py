"""The command line: arguments to ``app``, errors to exit codes. One module a command."""

from voiceassist.cli.main import main

__all__ = ["main"]
