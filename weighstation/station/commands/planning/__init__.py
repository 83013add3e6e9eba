"""Products file, journal and what was typed -> a plan, as a page or as JSON.

The ``plan`` commands gather what the shop has on record, ask the pure functions of
`weighstation.plan`, and show what came of it. Nothing is written; a plan is an offer.
"""
