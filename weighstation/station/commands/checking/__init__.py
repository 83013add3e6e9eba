"""Known weights on a scale -> fit or not, on record, and what is doubtful since.

``check`` asks for loads, watches the scale, judges it and says so; ``check --state`` tells how it
stands without weighing. What a check found changes no weight that is on record.
"""
