"""What must hold of a procedure as a whole."""
