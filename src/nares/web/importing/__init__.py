"""A trainer's own spreadsheet: choose it, say what its columns mean, look, keep."""
