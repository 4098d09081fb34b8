"""The lowest layer: errors, ticks, timers, chance, trace. Imports nothing from above."""
