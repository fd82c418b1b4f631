"""Looking after a running service: is it ready, what does it do, what does it keep and for how long."""
