"""What understanding costs in time and memory, and what real misspellings cost it."""

from __future__ import annotations

import random
import statistics
import subprocess
import sys
import time
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from importlib.util import find_spec
from pathlib import Path

from diag.intake import Intake, understand
from tests.bench.word_items import ROOT, Item, Sites, figures, run

PYDANTIC = "import pydantic; pydantic.BaseModel"
ONE_SENTENCE = f"""{PYDANTIC}
from knowledge.load import load_symptoms
from knowledge.lexicon import load_lexicon
from diag.intake import build_intake, understand
understand(build_intake(*load_symptoms(), load_lexicon()), 'the vent does not close')
"""
HIGH_WATER = """
print(next(line.split()[1] for line in open('/proc/self/status') if line.startswith('VmHWM')))
"""
SECONDS = "\nimport time; print(time.process_time())\n"
ROUNDS = 7
SEED = 7


def print_costs(intake: Intake, items: Sequence[Item], sites: Sites) -> None:
    """Print time a sentence, and time and memory of a fresh process beside one that only loads pydantic."""
    times = sorted(_milliseconds(intake, item, sites) for item in items)
    late = times[int(len(times) * 0.95)]
    print(f"a sentence: median {statistics.median(times):.2f} ms of processor, 95 of 100 below {late:.2f} ms")
    for name, code in (("pydantic alone", PYDANTIC), ("one sentence", ONE_SENTENCE)):
        print(f"fresh process, {name:15} {_seconds(code):.3f} s of processor, {_megabytes(code):.0f} MB")


def _milliseconds(intake: Intake, item: Item, sites: Sites) -> float:
    began = time.process_time()
    understand(intake, item.text, sites.get(item.site or ""))
    return (time.process_time() - began) * 1000


def _seconds(code: str) -> float:
    return statistics.median(float(_output(code + SECONDS)) for _ in range(ROUNDS))


def _megabytes(code: str) -> float:
    return int(_output(code + HIGH_WATER)) / 1024


def _output(code: str) -> str:
    done = subprocess.run([sys.executable, "-c", code], check=True, cwd=ROOT, capture_output=True, text=True)
    return done.stdout


def print_misspellings(intake: Intake, items: Sequence[Item], sites: Sites) -> None:
    """Print what one real misspelling a phrase costs.

    Outside source: the dictionary of misspellings that codespell carries, read from the installed package.
    """
    plain, slipped = misspelt([it for it in items if it.symptoms], read_misspellings())
    for name, some in (("as written", plain), ("misspelt", slipped)):
        found = figures(run(intake, some, sites))
        print(f"{name:12} first {found['first']}   first three {found['first three']}")


def read_misspellings() -> dict[str, list[str]]:
    """Return misspellings by the word meant, those with one meaning only."""
    spec = find_spec("codespell_lib")
    if spec is None or spec.origin is None:
        sys.exit("Install codespell, a test dependency, for this check.")
    found: dict[str, list[str]] = defaultdict(list)
    for line in (Path(spec.origin).parent / "data" / "dictionary.txt").read_text("utf-8").splitlines():
        typed, _, meant = line.partition("->")
        if meant and "," not in meant.rstrip(","):
            found[meant.strip().rstrip(",").lower()].append(typed.lower())
    return found


def misspelt(items: Iterable[Item], misspellings: Mapping[str, Sequence[str]]) -> tuple[list[Item], list[Item]]:
    """Return phrases that hold a word with a known misspelling: as they are, and with one misspelt."""
    chance = random.Random(SEED)
    plain, slipped = [], []
    for item in items:
        words = item.text.split()
        places = [at for at, word in enumerate(words) if _bare(word) in misspellings]
        if places:
            at = chance.choice(places)
            words[at] = chance.choice(misspellings[_bare(words[at])])
            plain.append(item)
            slipped.append(replace(item, text=" ".join(words)))
    return plain, slipped


def _bare(word: str) -> str:
    return word.lower().strip(".,!?")
