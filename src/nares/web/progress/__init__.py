"""The page Progress of a dog."""
