"""``pair``: devices of the network, let in and sent away."""
