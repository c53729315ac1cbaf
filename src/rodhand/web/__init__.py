"""Pages: thin, they call book and sheets only."""
