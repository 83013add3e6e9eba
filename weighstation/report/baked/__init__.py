"""Baked loaves of batches -> the sheet of what the oven took of them.

Weights at one hour, the loss with its interval, where the spread comes from, and what a rule on
quantities says; a figure that cannot be had is answered with the reason.
"""
