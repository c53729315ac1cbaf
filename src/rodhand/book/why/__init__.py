"""Why a number is what it is: its inputs, line by line."""
