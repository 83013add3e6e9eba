"""One bench's input and output: ``bytes -> Snapshot, Entry``.

The loop joins the pure stages; ports bring bytes, the store keeps lines, the panel shows the last
snapshot. Nothing in here decides anything about weight.
"""
