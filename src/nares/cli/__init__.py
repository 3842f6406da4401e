"""Ring 4: commands."""
