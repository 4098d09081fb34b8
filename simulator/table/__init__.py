"""A ball that rolls: the drawing read as a table, and the physics of what balls meet on it."""
