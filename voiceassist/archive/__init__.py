"""The shop's archive: what the journals of all sessions hold, in a database for finding."""
