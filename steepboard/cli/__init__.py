"""The command line, and the place where everything is put together."""
