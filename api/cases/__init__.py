"""Cases: what was noticed, answered, found and done on a call-out, kept as events that nobody rewrites."""
