"""A scale on a cable -> what it is called, what it sends, and a station that starts with it.

``scales`` lists what is plugged in, ``learn`` works out the lines of one that nobody has
described, ``record`` keeps its bytes, ``service`` prints the script of a station.
"""
