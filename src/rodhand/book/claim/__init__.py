"""The file of a break or loss: every fact on record about it."""
