"""What a phone looks typed words up in without a signal: the phrases of each symptom, and foreign words by idea."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

import yaml

from knowledge.lexicon import FOLDER, LexiconFile, load_lexicon

FOREIGN = ("german", "danish")


@cache
def said_of() -> Mapping[str, tuple[str, ...]]:
    """Return further whole phrases by symptom, as the word lists have them."""
    return load_lexicon().sayings


@cache
def foreign_ideas() -> Mapping[str, str]:
    """Return single German and Danish words with the English idea each stands for; German wins where both know it."""
    found: dict[str, str] = {}
    for name in FOREIGN:
        text = (FOLDER / f"lexicon-{name}.yaml").read_text(encoding="utf-8")
        for idea, words in LexiconFile.model_validate(yaml.safe_load(text)).more_words.items():
            for word in words.split(","):
                if " " not in word.strip():
                    found.setdefault(word.strip(), idea)
    return found
