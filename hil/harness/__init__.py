"""An existing machine's harness, as measured: parsed, checked, and converted to a wiring table."""
