"""Watching: from pictures to a nose or a hand in an opening."""
