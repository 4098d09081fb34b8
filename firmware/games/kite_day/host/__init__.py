"""Tables of Kite Day that only a host reads: keys, tones, routes of balls, coil data."""
