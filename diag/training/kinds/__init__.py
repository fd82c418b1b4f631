"""The kinds of question, each with how one is drafted and how its answer is proved again."""
