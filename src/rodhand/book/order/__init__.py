"""Which rods go where in the next bores, and what turning them gives."""
