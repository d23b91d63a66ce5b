"""The record of the session under way."""
