"""What the late import finds."""

RATE = 3
asked = 0


def rated(points: int) -> int:
    return points * RATE
