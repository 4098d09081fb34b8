"""The kit room: a small game that shows parts of the rule kit."""
