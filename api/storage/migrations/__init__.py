"""The steps from each form of the tables to the next."""
