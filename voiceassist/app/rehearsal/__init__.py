"""Rehearsals: a session on a simulated vehicle, and the tables that its mark goes by."""
