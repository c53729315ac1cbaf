"""Strings, passes, places and turns: which steel turned where."""
