"""The layer between the rules and the wires: switches, coils, reflexes, lamps, segments."""
