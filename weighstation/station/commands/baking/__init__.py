"""Baked loaves on the scale -> what the oven took, and whether the lot keeps its weight.

``bake`` weighs loaves of a batch that was divided and shows the sheet they make; what is lost
teaches the scaling weight, and the lot is held against a published rule.
"""
