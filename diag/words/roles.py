"""Decide of every act that is mentioned whether it was asked for, happened, or was denied."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from diag.words.ideas import Mention
from knowledge.lexicon import Concept

ASKING = frozenset({"press", "ask", "tap", "hold", "command-word"})
NAMES_A_BUTTON = frozenset({"button", "command-word", "press", "hold", "tap", "switch"})
HAPPENING_FORMS = {"opens": "open", "closes": "close"}
DIRECTIONS = frozenset({"open", "close"})
REACH = 3
"""How many mentions a denial or a request reaches."""

Features = tuple[frozenset[str], ...]


def resolve_roles(mentions: Sequence[Mention], concepts: Mapping[str, Concept]) -> Features:
    """Return, for every mention, the ideas it carries in this sentence, such as `no-open`."""
    denied, idle = _denied(mentions, concepts)
    return tuple(
        _widened(_resolved(mentions, index, index in denied, concepts) | _left_hanging(index, idle), concepts)
        for index in range(len(mentions))
    )


def _left_hanging(index: int, idle: set[int]) -> set[str]:
    """Return what a refusal of nothing in particular means, as in `every window refuses`."""
    return {"inert"} if index in idle else set()


def _resolved(mentions: Sequence[Mention], index: int, is_denied: bool, concepts: Mapping[str, Concept]) -> set[str]:
    found: set[str] = set()
    for idea in mentions[index].ideas:
        if concepts[idea].role != "act":
            found.add(idea)
            continue
        act = HAPPENING_FORMS.get(idea, idea)
        if is_denied:
            found.add(f"no-{act}")
        elif _is_asked(mentions, index, idea, concepts):
            found |= {f"asked-{act}"}
        else:
            found.add({"open": "opens", "close": "closes"}.get(act, act))
    return found


def _denied(mentions: Sequence[Mention], concepts: Mapping[str, Concept]) -> tuple[set[int], set[int]]:
    """Return the places of acts that are denied, and of refusals that deny no act.

    A denial takes the next act, or else the one before.
    """
    denied: set[int] = set()
    idle: set[int] = set()
    for index, mention in enumerate(mentions):
        if mention.has("neg"):
            target = _next_act(mentions, index, concepts)
            if target is None:
                target = _act_before(mentions, index, concepts)
            if target is not None:
                denied.add(target)
                denied |= _also_denied(mentions, target, concepts)
            elif mention.has("refusal"):
                idle.add(index)
    return denied, idle


def _next_act(mentions: Sequence[Mention], index: int, concepts: Mapping[str, Concept]) -> int | None:
    for at in range(index + 1, min(index + 1 + REACH, len(mentions))):
        if _ends_reach(mentions[at]) or mentions[at].has("whenever"):
            return None
        if _is_act(mentions[at], concepts):
            return at
    return None


def _act_before(mentions: Sequence[Mention], index: int, concepts: Mapping[str, Concept]) -> int | None:
    for at in range(index - 1, max(index - 1 - REACH, -1), -1):
        if _ends_reach(mentions[at]):
            return None
        if _is_act(mentions[at], concepts):
            return at
    return None


def _also_denied(mentions: Sequence[Mention], target: int, concepts: Mapping[str, Concept]) -> set[int]:
    """Return the second act of `will not open or close`."""
    after = mentions[target + 1 : target + 3]
    if len(after) == 2 and after[0].has("joining") and _is_act(after[1], concepts) and not _happens(after[1]):
        return {target + 2}
    return set()


def _happens(mention: Mention) -> bool:
    return any(idea in HAPPENING_FORMS for idea in mention.ideas)


def _ends_reach(mention: Mention) -> bool:
    return not mention.ideas or mention.has("contrast")


def _is_act(mention: Mention, concepts: Mapping[str, Concept]) -> bool:
    return any(concepts[idea].role == "act" for idea in mention.ideas)


def _is_asked(mentions: Sequence[Mention], index: int, idea: str, concepts: Mapping[str, Concept]) -> bool:
    if _next_names_a_button(mentions, index):
        return True
    if idea in HAPPENING_FORMS:
        return False
    for at in range(index - 1, max(index - 1 - REACH, -1), -1):
        before = mentions[at]
        if ASKING & set(before.ideas):
            return True
        if before.has("move"):
            continue
        if _ends_reach(before) or _is_act(before, concepts) or before.has("joining"):
            return False
    return False


def _next_names_a_button(mentions: Sequence[Mention], index: int) -> bool:
    if index + 1 >= len(mentions):
        return False
    after = mentions[index + 1]
    return after.first == mentions[index].last + 1 and bool(NAMES_A_BUTTON & set(after.ideas))


def _widened(found: set[str], concepts: Mapping[str, Concept]) -> frozenset[str]:
    waiting = list(found)
    while waiting:
        concept = concepts.get(waiting.pop())
        for wider in concept.implies if concept else ():
            if wider not in found:
                found.add(wider)
                waiting.append(wider)
    return frozenset(found)
