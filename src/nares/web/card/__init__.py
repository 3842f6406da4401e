"""The session card on the phone, and the handler's."""
