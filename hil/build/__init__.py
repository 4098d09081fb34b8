"""The image of a board: what is frozen, how it is built, how it lies in flash, how it gets there."""
