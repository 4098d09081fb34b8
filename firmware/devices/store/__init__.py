"""Storage that survives power loss: settings, counts, persistent values."""
