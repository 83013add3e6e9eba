"""What the person at the bench sees and presses: ``Snapshot -> screen, key -> Control``."""
