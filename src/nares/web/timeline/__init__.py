"""The timeline of a session: the page on which events are put right, and where its changes arrive."""
