"""The bench page: who may look, what a session looks like now, and its pages."""
