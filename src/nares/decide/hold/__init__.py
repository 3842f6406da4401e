"""How long the dog holds, and how long to ask for: censored fits, pooling, asks."""
