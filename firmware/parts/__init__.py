"""The rule kit: small parts that any game's features are made of. None knows another's name."""
