"""From sentences to sound, and how much of it was heard; who has the floor."""
