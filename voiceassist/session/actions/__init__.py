"""What the table of states calls: one function an action, all of one shape."""
