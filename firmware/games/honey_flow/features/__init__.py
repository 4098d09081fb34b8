"""The rules of Honey Flow, a feature or a few to a file; rules.md numbers them."""
