"""Pages for people about every entry of the knowledge base, made from the entries themselves."""
