"""What rules ask for: points, lamps, coils, pages, cues, memory. Plain tables, no hardware."""
