"""What is printed or drawn about a game: the rule card, chart diagrams, SCXML."""
