"""Integers of a journal -> the batch sheet: figures, tables, a record for other programs.

One batch: what was kept, what was given away, where the dough went, how boards rested, and how the
first cuts went. The figures come first, and tables and record are made of the same ones.
"""
