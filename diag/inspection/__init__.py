"""Inspection before power-up: the rule engine finds the faults of a site description."""
