"""Ring 4: pages."""
