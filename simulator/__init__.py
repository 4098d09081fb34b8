"""The simulator: the plant (balls and mechanisms), simulated players, and the desk."""
