"""Symptoms, causes, checks, cautions and rules as data, with their shapes and their loader."""
