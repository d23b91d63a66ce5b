"""``python -m voiceassist`` is the command line."""

import gc

from voiceassist.cli.stopping import stop_at_once


def main() -> None:
    """Run the command line; a signal is answered from the first moment on."""
    stop_at_once()
    gc.disable()  # what a start makes stays, and would be looked through again and again
    from voiceassist.cli.main import main as run

    gc.freeze()
    gc.enable()
    run()


if __name__ == "__main__":
    main()
