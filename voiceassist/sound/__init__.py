"""Sound as values: clips, levels, segments. Pure."""
