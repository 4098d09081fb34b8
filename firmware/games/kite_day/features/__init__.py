"""The rules of Kite Day, a feature a file."""
