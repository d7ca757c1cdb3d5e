"""How hard a move is."""
