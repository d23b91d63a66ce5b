"""``python -m voiceassist`` is the command line."""

from voiceassist.cli.stopping import stop_at_once


def main() -> None:
    """Run the command line; a signal is answered from the first moment on."""
    stop_at_once()
    from voiceassist.cli.main import main as run

    run()


if __name__ == "__main__":
    main()
