"""The reference driver board: a Pico with a switch matrix and a lamp matrix or LED chain."""
