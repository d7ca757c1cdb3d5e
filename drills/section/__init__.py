"""Several parts read together: what the section plays in a spot, and its drills."""
