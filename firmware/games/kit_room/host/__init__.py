"""Tables of the kit room that only a host reads: layout, keys, tones, routes of balls, coil data."""
