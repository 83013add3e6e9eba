"""The station in a browser: ``Snapshot -> stream, touch -> Asked, journal -> pages to read``."""
