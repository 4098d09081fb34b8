"""A machine file from an existing machine's wiring harness: what things are is read from their names."""
