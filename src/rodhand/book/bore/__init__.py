"""One bore as its pages, papers and commands show it."""
