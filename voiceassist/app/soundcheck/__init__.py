"""Checks the sound before a job: room, voice, loudspeaker, and whether trial phrases are heard."""
