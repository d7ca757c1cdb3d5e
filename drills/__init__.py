"""Turn the hard bars of a wind part into typeset pages of slow drills."""
