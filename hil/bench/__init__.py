"""A session: a script played on a target, judged and reported."""
