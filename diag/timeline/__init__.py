"""What was commanded, when and why: events in order of time, played through the precedence of a site."""
