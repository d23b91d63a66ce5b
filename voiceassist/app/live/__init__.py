"""The loop of a session and what it joins."""
