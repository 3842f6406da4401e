"""How a person marks: when, on what, and what to practise. One subject a file."""
