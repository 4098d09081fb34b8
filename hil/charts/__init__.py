"""Host tools for charts: the checker, diagrams, coverage, SCXML in and out."""
