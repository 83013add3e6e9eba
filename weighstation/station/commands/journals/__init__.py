"""Lines of a journal -> lines shown, added and proved at the desk.

The ``journal`` commands. None of them changes a line: a note, a strike-out and the end of a doubt
are new lines, and ``verify`` proves that the old ones are as they were written.
"""
