"""Reason from a described site and an observed symptom to causes, checks and proof of repair."""
