"""From words to meanings and back; all words come from the grammar files. Pure."""
