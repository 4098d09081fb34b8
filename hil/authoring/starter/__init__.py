"""A small clean game to begin with: its machine file, its tables, its first two rules."""
