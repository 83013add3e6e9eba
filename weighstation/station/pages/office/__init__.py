"""Pages to read: a day, the owner's week, the auditor's evidence, the set-up.

Whatever they show was reckoned by our own commands, each a short-lived process of its own; here it
is asked for, drawn and laid out.
"""
