"""Batches of a journal -> the control chart of one, of a product or of some days.

``chart`` looks at first cuts, which show the process; kept pieces have been sorted by the band.
Sums of many batches are held against the lines that they follow from.
"""
