"""Words as typed -> what was meant; a runner -> what the terminal shows until it is over.

Grams with a decimal comma, a division, names of products; how this program is called, so that a
sentence can give the next words to type; a stop by key or signal, and an output that has gone.
"""
