"""The folder of records and its archive, for the commands that work on them."""
