"""``python -m voiceassist`` is the command line."""

import gc

from voiceassist.cli.stopping import stop_at_once

#: So many new objects before what is there is looked through for circles: a grammar has some
#: hundred thousand, and with the usual 700 the looking takes as long as the reading.
_LOOKED_THROUGH_AFTER = 20_000


def main() -> None:
    """Run the command line; a signal is answered from the first moment on."""
    stop_at_once()
    gc.disable()  # what a start makes stays, and would be looked through again and again
    from voiceassist.cli.main import main as run

    gc.freeze()
    gc.set_threshold(_LOOKED_THROUGH_AFTER)
    gc.enable()
    run()


if __name__ == "__main__":
    main()
