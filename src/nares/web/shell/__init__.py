"""What every page stands in: frame, words, errors, who is acting."""
