"""The command line: arguments to ``app``, errors to exit codes. One module a command."""
