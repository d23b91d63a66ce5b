"""The session engine. Pure: an event in, outputs out. Begin reading at ``table.py``."""
