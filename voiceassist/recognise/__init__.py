"""Listeners: sound to words, one module per speech library."""
