"""Line-ups: drawn on a plan, sealed, looked at; what nobody may know before its run stays out of here."""
