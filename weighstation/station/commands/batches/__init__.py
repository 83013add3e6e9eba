"""A journal -> what it says of batches: the last one, the open one, the figures of any.

What a new batch goes on from (its promise, an interruption, boards and the clock of its dough),
and the sheet of one that is over. Only lines whose chain holds are counted.
"""
