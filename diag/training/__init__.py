"""Train people with what the knowledge base knows: questions, their statistics, repetition and practice call-outs."""
