"""From the words of a complaint to the procedures that are about it."""
