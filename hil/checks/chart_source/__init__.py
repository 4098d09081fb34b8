"""Charts as tools read them: where each row is written, and what it does."""
