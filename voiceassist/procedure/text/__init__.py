"""YAML text to a tree, and a tree to the values of its shape; faults with their lines."""
