"""Nothing is imported for the tests' own tasks (greedy.py)."""
