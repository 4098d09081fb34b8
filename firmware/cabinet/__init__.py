"""What every game of this kind has: balls, players, tilt, ball save, bonus, the flow of a game."""
