"""A part of the package above, so that its tests share their rows."""
