"""Quantities, limits and verdicts. Pure."""
