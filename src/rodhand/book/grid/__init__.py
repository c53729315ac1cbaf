"""The entry grid: sheets of a pass, a box or a walk along it, typed row by row."""
