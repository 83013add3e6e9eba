"""``plan``: products file, journal and what was typed -> a plan, as a page or as JSON."""
