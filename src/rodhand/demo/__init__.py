"""The invented season: what three crews would have entered, and nothing else.

Imports the record and the units only. It holds no mechanics; what was planted in the season is
told by `rodhand.demo.truth`, which only tests read.
"""
