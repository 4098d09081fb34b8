"""An existing machine's harness as it was measured: read, judged, and turned into our wiring table."""
