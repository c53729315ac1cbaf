"""A bore to come: its path, what it would take, or why it cannot be."""
