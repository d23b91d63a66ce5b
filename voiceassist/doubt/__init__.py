"""From what listeners heard to a decision: accept, ask or reject."""
