"""From the shape of each part of a file to its values."""
