"""The games: a folder each, with its wiring, settings, features and scripts."""
