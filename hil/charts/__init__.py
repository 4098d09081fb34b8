"""Charts on the host: diagrams, SCXML in and out, source lines, and the tree that the checker reads."""
