"""Kept recordings and their waveforms for the player."""
