"""Make a thousand questions on the demo sites, prove each again, and print what was found.

Run: python -m tests.bench.quiz [questions]
"""

from __future__ import annotations

import re
import sys
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import date
from functools import cache
from random import Random

from diag.chapters import compile_chapters
from diag.demo import load_demo
from diag.engine import Engine
from diag.reasoner import Reasoner, prepare_reasoner
from diag.training.item import Item, Level
from diag.training.lint import faults_of
from diag.training.opening import open_workshop
from diag.training.quiz import QuizRequest, TooNarrow, make_quiz, proof_faults
from diag.training.workshop import Workshop
from knowledge.load import load_knowledge

QUESTIONS, QUIZ = 1000, 20
SITES = ("medium", "small", "campus")
LEVELS: tuple[Level, ...] = (1, 2, 3)
DAY = date(2026, 5, 4)


class Workshops:
    """The workshops of the demo sites in turn; of the campus another controller each time."""

    def __init__(self, reasoner: Reasoner) -> None:
        self._sites = [load_demo(it) for it in SITES]
        self.at = cache(lambda number: self._open(reasoner, number))

    def _open(self, reasoner: Reasoner, number: int) -> Workshop:
        return open_workshop(reasoner, self._sites[number % len(SITES)], today=DAY, seed=number)


def main(questions: int) -> None:
    """Print the findings over so many questions."""
    knowledge = load_knowledge()
    reasoner = prepare_reasoner(knowledge, Engine(compile_chapters(knowledge)).run)
    seeds = range(-(-questions // QUIZ))
    made = list(_quizzes(Workshops(reasoner), seeds, is_remembering=True))
    fresh = Workshops(reasoner)  # proofs share nothing with the making of the questions
    items = [(fresh.at(number), item) for number, _, found in made for item in found]
    _report_times([seconds for _, seconds, _ in made])
    _report_items(items)
    _report_alike(reasoner, "seeds that follow each other", seeds)
    _report_alike(reasoner, "seeds from anywhere", [Random(it).randrange(10**6) for it in seeds])
    _report_alike(reasoner, "seeds that follow each other, one level at each site", seeds, is_one_level=True)
    _report_repeatable(reasoner)


def _quizzes(
    workshops: Workshops, seeds: Sequence[int], is_remembering: bool = False, is_one_level: bool = False
) -> Iterator[tuple[int, float, tuple[Item, ...]]]:
    """Yield quiz after quiz as one trainer makes them, who may or may not ask again what was asked before.

    Sites take turns, and levels do so within them unless each site is to have one.
    """
    seen: set[str] = set()
    for number, seed in enumerate(seeds):
        workshop = workshops.at(number)
        level = LEVELS[(number if is_one_level else number // len(SITES)) % len(LEVELS)]
        start = time.process_time()
        try:
            quiz = make_quiz(workshop, QuizRequest(QUIZ, level, seed=seed, avoid=frozenset(seen)))
        except TooNarrow as refusal:
            print(f"seed {seed}: {refusal}")
            continue
        if is_remembering:
            seen |= {it.likeness for it in quiz.items}
        yield number, time.process_time() - start, quiz.items


def _report_alike(reasoner: Reasoner, name: str, seeds: Sequence[int], is_one_level: bool = False) -> None:
    """Print how many questions are alike by seed alone, and the times; alike are those with the same stem and answer.

    The day on which a call came does not make a question another one.
    """
    made = list(_quizzes(Workshops(reasoner), seeds, is_one_level=is_one_level))
    items = [item for _, _, found in made for item in found]
    double = len(items) - len({it.likeness for it in items})
    undated = len(items) - len({_without_dates(it) for it in items})
    print(
        f"without heeding earlier quizzes, {name}: {double} of {len(items)} alike ({double / len(items):.2%}), "
        f"{undated} when dates are not looked at ({undated / len(items):.2%})"
    )
    _report_times([seconds for _, seconds, _ in made])


DATED = re.compile(r"\d{4}-\d{2}-\d{2}")


def _without_dates(item: Item) -> tuple[str, ...]:
    right = sorted(it.text for it in item.choices if it.id in item.answer)
    return (item.kind, DATED.sub("", " ".join(item.stem)), item.lead_in, *sorted(item.prompts), *right)


def _report_times(seconds: list[float]) -> None:
    ordered = sorted(seconds)
    print(
        f"{len(ordered)} quizzes of {QUIZ}: median {ordered[len(ordered) // 2]:.2f} s, longest {ordered[-1]:.2f} s "
        "of processor time"
    )


def _report_items(items: list[tuple[Workshop, Item]]) -> None:
    start = time.process_time()
    unproved = [(item.id, found) for workshop, item in items if (found := proof_faults(workshop, item))]
    lint = [(item.id, broken) for _, item in items if (broken := faults_of(item))]
    alike = Counter(item.likeness for _, item in items)
    double = len(items) - len(alike)
    print(f"{len(items)} questions; proved again in {time.process_time() - start:.1f} s")
    print(f"answers not proved: {len(unproved)} {unproved[:3]}")
    print(f"break an item-writing rule: {len(lint)} {lint[:3]}")
    print(f"alike but for their wrong answers: {double} ({double / len(items):.2%})")
    print(f"those alike by kind: {dict(Counter(it.kind for _, it in items if alike[it.likeness] > 1))}")
    print(f"kinds: {dict(sorted(Counter(item.kind for _, item in items).items()))}")
    print(f"topics: {dict(sorted(Counter(item.topic for _, item in items).items()))}")
    print(f"choices: {dict(Counter(len(item.choices) for _, item in items if item.response == 'choice'))}")
    _report_guessing([item for _, item in items if item.response == "choice"])


def _report_guessing(items: list[Item]) -> None:
    """Print how well guesses by place and by length do: no better than chance, if nothing gives an answer away."""
    chance = sum(1 / len(it.choices) for it in items) / len(items)
    shuffled = [it for it in items if not it.is_rising]
    longest, shortest = (
        sum(pick(it.choices, key=lambda one: len(one.text)).id == it.key.id for it in shuffled) / len(shuffled)
        for pick in (max, min)
    )
    places = Counter([one.id for one in it.choices].index(it.key.id) for it in shuffled)
    rising = [it for it in items if it.is_rising]
    middle = sum(0 < [one.id for one in it.choices].index(it.key.id) < len(it.choices) - 1 for it in rising)
    print(f"by chance {chance:.2f}; the longest option is right in {longest:.2f}, the shortest in {shortest:.2f}")
    print(f"right answers by place {dict(places)}")
    print(f"of {len(rising)} with numbers or times in order, {middle} have the right one in the middle")


def _report_repeatable(reasoner: Reasoner) -> None:
    seeds = [Random(1).randrange(10**6) for _ in range(3)]
    same = all(
        make_quiz(open_workshop(reasoner, load_demo("medium"), today=DAY), QuizRequest(QUIZ, 2, seed)).items
        == make_quiz(open_workshop(reasoner, load_demo("medium"), today=DAY), QuizRequest(QUIZ, 2, seed)).items
        for seed in seeds
    )
    print(f"the same seed gives the same quiz: {same}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else QUESTIONS)
