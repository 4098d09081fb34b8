"""What the machine's coils are made of, for the sums: invented, as everything in this game.

Measure your own: ohms cold, millihenries with the plunger in, wire gauge from the label or a micrometer.
"""

# volts, ohms of supply and wires, smoothed or not, guarded (covers, interlock, signs) or not,
# isolated from the mains for certain, or "insulation unknown"
SUPPLY = (36.0, 0.3, "smoothed", "not guarded", "isolated")

COILS = (
    # name, ohms at 20 °C, mH, AWG, insulation class, clamp (zener volts, 0: diode), fuse, s between pulses
    ("outhole_kick", 6.0, 30.0, 25, "F", 22.5, "1 slow", 10.0),
    ("updraft_eject", 6.0, 30.0, 25, "F", 22.5, "1 slow", 10.0),
    ("tail_reset", 6.0, 30.0, 23, "F", 22.5, "1.25 slow", 10.0),
    ("thermal.left", 4.0, 20.0, 24, "F", 22.5, "1.25 slow", 3.0),
    ("thermal.right", 4.0, 20.0, 24, "F", 22.5, "1.25 slow", 3.0),
    ("flipper.left.strong", 3.0, 15.0, 22, "F", 22.5, "1.6 slow", 3.0),
    ("flipper.left.hold", 225.0, 1100.0, 33, "F", 22.5, "0.25 slow", 0.0),
    ("flipper.right.strong", 3.0, 15.0, 22, "F", 22.5, "1.6 slow", 3.0),
    ("flipper.right.hold", 225.0, 1100.0, 33, "F", 22.5, "0.25 slow", 0.0),
    ("chime.low", 12.0, 40.0, 26, "F", 22.5, "0.63 slow", 0.5),
    ("chime.middle", 12.0, 40.0, 26, "F", 22.5, "0.63 slow", 0.5),
    ("chime.high", 12.0, 40.0, 26, "F", 22.5, "0.63 slow", 0.5),
)
