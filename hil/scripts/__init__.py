"""The switch-script language: lines, steps, what they expect."""
