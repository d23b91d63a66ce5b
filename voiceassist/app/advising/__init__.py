"""Advice in a job; the table it goes by is read, or made, when it is first asked for."""
