"""Baked lots -> published average-quantity rules, and the least lawful aim.

A rule is a file of data with its source beside it; the functions judge weights by it and return
frozen values. A verdict is arithmetic, never legal proof.
"""
