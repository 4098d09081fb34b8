"""A machine's drawing: an SVG file in millimetres, read against the names of the machine; or one laid out."""
