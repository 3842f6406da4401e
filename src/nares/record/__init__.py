"""Ring 2: entries, chain, store, projections, export."""
