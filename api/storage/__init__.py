"""The database: its tables, how it is opened, brought up to date, backed up and restored."""
