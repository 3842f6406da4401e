"""Signs of stress: written down with one thumb, looked into by a person."""
