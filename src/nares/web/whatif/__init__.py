"""What if the levels were others: sliders over the step test, nothing on the record."""
