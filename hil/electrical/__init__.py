"""Everything about volts, amperes and wires: sums, an old harness, work sheets, the reference circuit."""
