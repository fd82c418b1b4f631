"""Short ways to say a question in a test."""

from __future__ import annotations

from dataclasses import replace

from diag.training.item import Choice, Item


def question(*texts: str, key: int = 0, stem: str = "Nothing moves.", lead_in: str = "What is the cause?") -> Item:
    """Return a question with these choices, the right one by its place."""
    choices = tuple(Choice(f"c{place}", text, f"reason {place}") for place, text in enumerate(texts))
    return Item(
        kind="likeliest-cause",
        level=1,
        topic="drive",
        site="A hall",
        language="en",
        stem=(stem,),
        lead_in=lead_in,
        choices=choices,
        answer=(f"c{key}",),
        explanation="Because.",
        references=(),
        evidence={},
    )


def in_order(*texts: str, right: tuple[int, ...]) -> Item:
    """Return a question whose choices are to be put in order."""
    return replace(question(*texts), response="order", answer=tuple(f"c{it}" for it in right))


def pairs(prompts: tuple[str, ...], texts: tuple[str, ...], right: tuple[int, ...]) -> Item:
    """Return a question that pairs prompts with choices."""
    return replace(question(*texts), response="match", prompts=prompts, answer=tuple(f"c{it}" for it in right))
