"""From a description to a game: devices, rules in the trade's words, their files and their scripts."""
