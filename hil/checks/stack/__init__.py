"""How much C stack a board's program can take at most, counted from the sources without running them.

`program` reads modules, `flow` follows which function a call can reach, `frames` knows what a call costs on
the chip, `depth` finds the deepest path; `report` is what `inlane check --board` prints of it.
"""
