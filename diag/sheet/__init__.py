"""The proving sheet of a site: what to test and expect, what causes what, and the results read back."""
