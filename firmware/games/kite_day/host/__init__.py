"""Tables of Kite Day that only a host reads: layout, keys, tones, routes of balls, coil data."""
