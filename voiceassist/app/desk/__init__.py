"""Commands that need no session."""
