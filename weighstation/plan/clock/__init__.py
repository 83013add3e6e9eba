"""Times of pieces -> the dough's clock: its pace, and what still fits."""
