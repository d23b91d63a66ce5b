"""From sound or typed lines to utterances, each with what it may mean."""
