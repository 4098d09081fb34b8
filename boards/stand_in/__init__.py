"""A stand-in for a playfield: it closes a driver board's switches and samples its drives and lamps."""
