"""Loaves raw and baked -> the oven's own loss, and the scaling weight it asks for."""
