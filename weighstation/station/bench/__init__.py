"""One batch on its threads: ``Arrival -> Snapshot, lines for the store, lines of events``.

The loop joins the pure stages, the session keeps one batch's memory, the runner gives them
threads. Nothing here knows a screen or a command.
"""
