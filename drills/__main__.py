"""``python -m drills``."""

from drills.cli import main

if __name__ == "__main__":
    main()
