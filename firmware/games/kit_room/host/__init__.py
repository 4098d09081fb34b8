"""Tables of the kit room that only a host reads: keys, tones, routes of balls, coil data."""
