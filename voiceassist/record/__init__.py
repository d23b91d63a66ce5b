"""What is kept of a session: journal, transcript, report."""
