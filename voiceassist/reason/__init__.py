"""How likely each cause is after what was read, and which test would tell most."""
