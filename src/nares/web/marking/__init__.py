"""How people mark, for coaching."""
