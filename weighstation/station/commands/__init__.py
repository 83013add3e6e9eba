"""What each command does, from its checked options to its exit code."""
