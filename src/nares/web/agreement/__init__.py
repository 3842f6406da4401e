"""Two observers of sessions side by side."""
