"""Ring 0: the words, times, errors, findings and sources that every other ring shares."""
