"""The shape of a procedure file, key by key."""
