"""Work on a stranger's file in a process with limits: the one door to it.

In:   the name of a function of ours that serves, and questions as bytes
Out:  answers as bytes, or nothing where a limit ended the process

Read first: child.py, which starts the process and asks it; serving.py is what runs in it;
limits.py bounds time, memory and files, there and wherever else a process of ours bounds itself.
"""

from drills.reading.confined.child import OUT_OF_TIME, Child
from drills.reading.confined.limits import address_space, confine
from drills.reading.confined.serving import questions

__all__ = ["OUT_OF_TIME", "Child", "address_space", "confine", "questions"]
