"""The page of one session: play, read, confirm, correct."""
