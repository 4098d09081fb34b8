"""Kite Day: a single-level game of one ball, four score displays and three chimes."""
