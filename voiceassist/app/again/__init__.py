"""Kept sound heard again by the listener of today; no record is touched."""
