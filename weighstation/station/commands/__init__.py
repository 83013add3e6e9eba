"""Checked options -> what a command does, to its exit code.

A room holds the commands of one job, in the order of a morning: ``shop`` and ``scales`` before the
first batch, ``planning`` and ``checking`` before the dough, ``dividing``, ``baking``, then
``charting``, ``statements`` and ``journals`` at the desk. ``batches`` and ``terminal`` serve them
all.
"""
