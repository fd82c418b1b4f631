"""Readings that the calculators work out for a part of a site, with the mistakes people make in them."""
