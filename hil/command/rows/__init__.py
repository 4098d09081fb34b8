"""Rows of the reliability table that need balls: they know the simulator, as commands may."""
