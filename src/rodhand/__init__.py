"""A record of every drill rod, and the mechanics that turn the record into advice."""

__version__ = "0.1.0"
