"""Tables of Honey Flow that only a host reads: keys, tones, routes of balls, coil data."""
