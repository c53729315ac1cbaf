"""Where every thing stands, and what somebody should do about it this week."""
