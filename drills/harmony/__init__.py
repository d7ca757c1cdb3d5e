"""Chords: what a symbol means, what sounds together, and what each note does in it."""
