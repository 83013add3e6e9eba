"""Loads and indications of a scale -> whether it is fit, and how sure one weight is.

Check weights, permissible errors, uncertainty and guard band, in formulas that carry their source.
Nothing here verifies a scale in the sense of the law; that is licensed practice.
"""
