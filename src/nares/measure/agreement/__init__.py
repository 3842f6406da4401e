"""How well two observers of one recording agree: one subject a file."""
