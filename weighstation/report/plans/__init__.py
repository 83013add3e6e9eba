"""Plans -> the pages of the plan commands, and their records for other programs.

An order, a dough on hand, a target, a proof, an oven: each page ends with what is to be minded, and
holds nothing that was not worked out in `weighstation.plan`.
"""
