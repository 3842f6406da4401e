"""Ring 2: plots and printed sheets."""
