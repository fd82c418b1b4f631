"""Stored sites beyond reading and writing them: versions, files, drafts, and the code on the panel door."""
