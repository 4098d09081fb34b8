"""Moving a game over: a machine file from the tables that were written by hand."""
