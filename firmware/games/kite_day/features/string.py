"""7. String: the bonus, counted down when the ball ends."""

from firmware.cabinet.counted_bonus import CountedBonus


class String(CountedBonus):
    """Lanes and targets let out string: 1,000 each at the end of the ball, at most 30; a tilt loses it."""

    name = "string"
    per_unit = 1_000
    most = 30
    step_ms = 130
    lamps = (("string.1", 10), ("string.2", 20))
    chart = (
        ("play", "breeze tail return outlane", None, "count_unit"),
        ("play", "ball.ended", "counting", "begin"),
        ("counting", "bonus.step", None, "step"),
        ("counting", "bonus.counted", "counted", None),
    )

    def bind(self) -> None:
        """Set-up is over: find the breeze, which multiplies."""
        super().bind()
        self.multiplier = self.play.find("breeze_lanes").multiplier
