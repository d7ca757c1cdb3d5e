"""The player's project: the book, the days, the plan, the log, and what may be hoped for."""
