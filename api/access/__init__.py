"""Who may use the service: organisations, people, keys, sessions, limits, and the log of what was done."""
