"""The bench page joined with the rest of the house, and served."""
