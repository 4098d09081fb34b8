"""What rules use: points, lamps, coils, pages, cues, memory. Plain tables, no hardware."""
