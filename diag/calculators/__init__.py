"""Pure functions from plain numbers to the values that physics and the standards say to expect."""
