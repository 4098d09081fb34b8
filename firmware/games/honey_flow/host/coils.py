"""What the machine's coils are made of, for the sums: invented, as everything in this demo.

Measure your own: ohms cold, millihenries with the plunger in, wire gauge from the label or a micrometer.
"""

# volts, ohms of supply and wires, smoothed or not, guarded (covers, interlock, signs) or not,
# isolated from the mains for certain, or "insulation unknown"
SUPPLY = (48.0, 0.3, "smoothed", "not guarded", "isolated")

COILS = (
    # name, ohms at 20 °C, mH, AWG, insulation class, clamp (zener volts, 0: diode), fuse, s between pulses
    ("trough_eject", 8.0, 40.0, 26, "F", 22.5, "1 slow", 10.0),
    ("auto_plunger", 4.0, 20.0, 24, "F", 22.5, "1.6 slow", 10.0),
    ("bumper.1", 4.0, 20.0, 24, "F", 22.5, "1.6 slow", 3.0),
    ("bumper.2", 4.0, 20.0, 24, "F", 22.5, "1.6 slow", 3.0),
    ("bumper.3", 4.0, 20.0, 24, "F", 22.5, "1.6 slow", 3.0),
    ("sling.left", 6.0, 30.0, 25, "F", 22.5, "1.25 slow", 3.0),
    ("sling.right", 6.0, 30.0, 25, "F", 22.5, "1.25 slow", 3.0),
    ("flipper.left.strong", 4.0, 20.0, 23, "F", 22.5, "1.6 slow", 3.0),
    ("flipper.left.hold", 400.0, 2000.0, 34, "F", 22.5, "0.25 slow", 0.0),
    ("flipper.right.strong", 4.0, 20.0, 23, "F", 22.5, "1.6 slow", 3.0),
    ("flipper.right.hold", 400.0, 2000.0, 34, "F", 22.5, "0.25 slow", 0.0),
    ("keeper_reset", 8.0, 40.0, 24, "F", 22.5, "1.25 slow", 10.0),
    ("porch_eject", 8.0, 40.0, 26, "F", 22.5, "1 slow", 10.0),
    ("hive_eject", 8.0, 40.0, 26, "F", 22.5, "1 slow", 10.0),
    ("kickback", 4.0, 20.0, 24, "F", 22.5, "1.6 slow", 10.0),
    ("knocker", 8.0, 40.0, 26, "F", 22.5, "1 slow", 10.0),
)
