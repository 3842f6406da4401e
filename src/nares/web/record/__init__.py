"""The page Record: entries, amendments, verification."""
