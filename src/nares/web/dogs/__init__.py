"""The page of one dog, and adding dogs and recorded sessions."""
