"""A small network of our own, and the exact sum over a step's grammar of what it heard."""
