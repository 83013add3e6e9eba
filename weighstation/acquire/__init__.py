"""Bytes of a scale -> Reading."""
