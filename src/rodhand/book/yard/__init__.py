"""Rods one by one, as the yard looks at them: cards, verdicts, wear, labels, checks due."""
