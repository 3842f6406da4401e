"""What was too much, what may be raised instead, and who decides: after the numbers have spoken."""
