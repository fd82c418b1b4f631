"""The edges people touch: command line, HTTP service and phone page."""
