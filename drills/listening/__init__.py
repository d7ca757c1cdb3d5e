"""From a take to what was played, and to a verdict against what is written."""
