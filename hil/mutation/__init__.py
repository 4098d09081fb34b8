"""Mutants: small changes of source text, each of which some script or test must notice."""
