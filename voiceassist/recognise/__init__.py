"""Listeners: sound to words, one module a speech library."""
