"""A package, so that this folder and the one above may each have a conftest.py."""
