"""Practice call-outs: a trainee finds a hidden fault of a virtual site, and sees afterwards how else it could go."""
