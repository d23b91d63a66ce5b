"""Listeners in a process of their own: what crashes there leaves the session alive."""
