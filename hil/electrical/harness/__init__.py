"""An existing machine's wiring harness, as measured: parsed, checked, and converted to a wiring table."""
