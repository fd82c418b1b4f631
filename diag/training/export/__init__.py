"""A quiz in the forms others take: JSON, CSV, Markdown, pages to print, and QTI packages."""
