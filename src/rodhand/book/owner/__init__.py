"""What the owner asks: forecast, retire age, set against set, money, the season."""
