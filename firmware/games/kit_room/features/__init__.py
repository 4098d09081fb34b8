"""The rules of the kit room, a feature a file."""
