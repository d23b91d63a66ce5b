"""Microphone, loudspeaker and sound files."""
