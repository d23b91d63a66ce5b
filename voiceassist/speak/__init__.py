"""Voices: sentences to sound, one module a library."""
