"""Ring 1: the dog's welfare in numbers that never decide alone. So far: rewards within today's ration."""
