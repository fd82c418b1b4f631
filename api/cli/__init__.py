"""The `ventsleuth` command: each subcommand in a module of its own, imported when it is used."""
