"""Tell other systems what happens to cases, signed as the open Standard Webhooks text describes."""
