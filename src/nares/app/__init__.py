"""Ring 3: one function per job the trainer does."""
