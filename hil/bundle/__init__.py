"""Firmware for a small board: one module of only what runs in play, and the machine as an image.

`make.bundle` is the way in. modules reads sources, live finds what can run, image takes the objects
down, merge writes one module, shorten gives it short names, compile makes the `.mpy` files.
"""
