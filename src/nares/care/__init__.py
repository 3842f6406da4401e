"""Ring 1: the dog's welfare before any number: signs of stress, rewards within today's ration."""
