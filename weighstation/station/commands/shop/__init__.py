"""A shop's folder -> its products, scales and rules.

The home that every command is given, what ``init`` writes into it, and the rule of average
quantity that a product is held against. All that a shop owns is found here and nowhere else.
"""
