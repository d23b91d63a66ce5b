"""One step a module, in order."""
