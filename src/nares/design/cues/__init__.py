"""What went along with pay: cues of each rep, pay links, what cannot be told apart, reps that would."""
