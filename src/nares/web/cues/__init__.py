"""The page Cues of one dog, and names for cues of one's own."""
