"""The page Today."""
