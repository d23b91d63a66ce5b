"""What the user has chosen."""
