"""Cues and pay: the page of a dog, its answer, and names a trainer gives."""
