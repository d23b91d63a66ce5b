"""Voices: sentences to sound, one module per library."""
