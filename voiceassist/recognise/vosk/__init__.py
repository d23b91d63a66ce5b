"""The listener ``vosk``: for a language whose model the user supplies."""
