"""Facts about boards -> what lies where, how long it has rested, and what is next."""
