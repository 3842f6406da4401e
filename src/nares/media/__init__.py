"""Ring 2: decoding only: sound and pictures as arrays with integer ticks."""
