"""Deciding otherwise than the call, and what came of it."""
