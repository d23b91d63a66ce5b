"""What a terminal shows while a session runs: lines to a state, a state to a picture."""
