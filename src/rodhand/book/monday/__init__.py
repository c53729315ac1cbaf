"""Monday for several crews: one list per rig from several books, which stay apart."""
