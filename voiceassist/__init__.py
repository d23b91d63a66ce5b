"""Offline, hands-free voice assistant for electrical diagnosis."""

__version__ = "0.1.0"
