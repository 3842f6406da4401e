"""Ring 1: programme, step call, hold model, asks."""
