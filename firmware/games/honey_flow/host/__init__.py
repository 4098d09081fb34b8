"""Tables of Honey Flow that only a host reads: layout, art, keys, tones, routes of balls, coil data."""
