"""The pages of scores: one line-up, and a dog over its line-ups."""
