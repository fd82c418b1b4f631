"""Understanding of typed words, step by step: cleaning, spelling, ideas, who did what, symptoms and parts."""
