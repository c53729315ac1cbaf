"""Rules and verdicts: what the record and the mechanics mean for the next bore."""
