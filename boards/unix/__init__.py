"""The firmware as a process of the unix MicroPython, on simulated pins."""
