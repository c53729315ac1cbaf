"""What the turns cost: damage, life used, chance of a break, who met whom."""
