"""What the record's bores did: their holes, strings, passes, forces, and who stood where."""
