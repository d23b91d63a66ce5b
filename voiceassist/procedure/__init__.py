"""Procedure files: from YAML text to a checked model, or to every fault in it. Pure."""
