"""Ring 1: samples and frames become events, events become reps."""
