"""Commands: thin, each parses and prints; the work is done in `book` and `sheets`."""
