"""Pages of one session: its folder read, what stands beside it, and the files made of it."""
