"""A picture of the bench -> what any screen says of it, on a terminal or on a page."""
