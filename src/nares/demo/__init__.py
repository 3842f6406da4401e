"""Ring 4: the invented kennel."""
