"""Targets: where a console runs, in this process or behind a serial line."""
