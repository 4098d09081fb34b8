"""Honey Flow's lamp shows: (ms, lamps that are lit, flashers that are pulsed), step by step."""

# While nobody plays: bees walk up the playfield, one column after the other.
CALLING = (
    (700, "rung.1 frame.1 wheel.1", ""),
    (700, "rung.1 rung.2 frame.2 wheel.2 wheel.1", ""),
    (700, "rung.2 rung.3 frame.3 wheel.3 wheel.2", ""),
    (700, "rung.3 rung.4 frame.4 wheel.4 wheel.3", ""),
    (700, "rung.4 rung.5 dance.1 wheel.5 wheel.4", ""),
    (700, "rung.5 dance.2 wheel.6 wheel.5", ""),
    (700, "dance.3 jar wheel.7 wheel.6", ""),
    (700, "jar wheel.8 wheel.7", ""),
)

# The Honey Jar is won: honey runs round the ring, twice, and the jar flashes.
POURING = (
    (250, "jar wheel.1 wheel.2", "flash.jar"),
    (250, "wheel.3 wheel.4", ""),
    (250, "jar wheel.5 wheel.6", "flash.jar"),
    (250, "wheel.7 wheel.8", ""),
)

# The last rung of the Wax Ladder: the rungs fill, and all blink with their flasher.
TOPPED = (
    (200, "rung.1", ""),
    (200, "rung.1 rung.2", ""),
    (200, "rung.1 rung.2 rung.3", "flash.wax"),
    (200, "rung.1 rung.2 rung.3 rung.4", ""),
    (300, "rung.1 rung.2 rung.3 rung.4 rung.5", "flash.wax"),
    (300, "", ""),
    (300, "rung.1 rung.2 rung.3 rung.4 rung.5", "flash.wax"),
    (300, "", ""),
)

# The Swarm: bees fly round the ring, and hive and queen flash by turns.
FLYING = (
    (200, "wheel.1 wheel.5", "flash.hive"),
    (200, "wheel.2 wheel.6", ""),
    (200, "wheel.3 wheel.7", "flash.queen"),
    (200, "wheel.4 wheel.8", ""),
)
