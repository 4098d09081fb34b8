"""The rule kit's reference, made from the docstrings of `firmware/parts` and their examples, which run."""
