"""What recurs over all cases and sites of an organisation."""
