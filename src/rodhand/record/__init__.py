"""The record: entries, the journal on disk, and the book read back from it."""
