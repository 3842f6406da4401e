"""Line-ups: drawn and sealed, run by people who must not know, opened and scored."""
