"""``python -m voiceassist`` is the command line."""

from voiceassist.cli import main

main()
