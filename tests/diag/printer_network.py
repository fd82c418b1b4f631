"""The published printer-troubleshooting network win95pts as a single-fault problem, with exact inference.

The network is read from the wheel of pgmpy, which carries it; it is not kept here. Which nodes are causes, questions
and symptoms is a reading of the node names, for the file states no roles.
"""

from __future__ import annotations

import gzip
import importlib.util
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from random import Random

import networkx
import numpy as np
from numpy.typing import NDArray

CONTEXT = ("NetPrint", "DSApplctn", "PrtPScript", "EPSGrphc", "TrTypFnts")
ABNORMAL = {"Problem1": 1, "Problem2": 1, "Problem3": 0, "Problem4": 0, "Problem5": 0, "Problem6": 1}
"""The state of each symptom that is a complaint; it is not always the second one."""
STATUS = (
    "PrtStatPaper", "PrtStatToner", "PrtStatMem", "PrtStatOff", "PrtIcon", "PrtFile", "REPEAT", "HrglssDrtnAftrPrnt",
    "TstpsTxt", "PSERRMEM",
)  # fmt: skip
QUESTION_COST, INSPECTION_COST = 1.0, 5.0

Floats = NDArray[np.float64]
Evidence = Mapping[str, int]


@dataclass(frozen=True)
class Network:
    """A network of yes-no nodes: parents by node, and the chance of state 1 by the states of the parents."""

    parents: Mapping[str, tuple[str, ...]]
    chance: Mapping[str, Floats]

    @cached_property
    def order(self) -> tuple[str, ...]:
        """Return the nodes, parents first.

        Many orders are topological, and the cases drawn depend on which: this is the one of networkx, as pgmpy has it.
        """
        graph = networkx.DiGraph()
        graph.add_nodes_from(self.parents)
        graph.add_edges_from((parent, node) for node, above in self.parents.items() for parent in above)
        return tuple(networkx.topological_sort(graph))

    @cached_property
    def causes(self) -> tuple[str, ...]:
        """Return the names of the causes, sorted: the roots that are no question."""
        return tuple(sorted(it for it, above in self.parents.items() if not above and it not in CONTEXT))

    @cached_property
    def prior(self) -> Floats:
        """Return the chance of each cause, given that there is exactly one."""
        each = np.array([float(self.chance[it]) for it in self.causes])
        odds = each / (1.0 - each)
        prior: Floats = odds / odds.sum()
        return prior


def network_file() -> str:
    """Return the file of the network, out of pgmpy's wheel."""
    found = importlib.util.find_spec("pgmpy")
    assert found is not None
    assert found.origin is not None
    path = Path(found.origin).parent / "utils" / "example_models" / "win95pts.bif.gz"
    return gzip.decompress(path.read_bytes()).decode()


def read_network() -> Network:
    """Return the network from pgmpy's wheel."""
    text = network_file()
    states = {
        name: [it.strip() for it in listed.split(",")]
        for name, listed in re.findall(r"variable (\S+) \{\s*type discrete \[ 2 \] \{([^}]*)\}", text)
    }
    parents: dict[str, tuple[str, ...]] = {}
    chance: dict[str, Floats] = {}
    for head, body in re.findall(r"probability \(([^)]*)\) \{(.*?)\n\}", text, flags=re.DOTALL):
        name, _, above = (it.strip() for it in head.partition("|"))
        parents[name] = tuple(it.strip() for it in above.split(",") if it.strip())
        chance[name] = _table(parents[name], states, body)
    return Network(parents, chance)


def _table(parents: Sequence[str], states: Mapping[str, list[str]], body: str) -> Floats:
    if not parents:
        return np.array(float(body.split("table")[1].strip(" ;").split(",")[1].strip(" ;\n")))
    table = np.full((2,) * len(parents), np.nan)
    for key, numbers in re.findall(r"\(([^)]*)\)([^;]*);", body):
        at = tuple(states[it].index(value.strip()) for it, value in zip(parents, key.split(","), strict=True))
        table[at] = float(numbers.split(",")[1])
    return table


class SingleFaults:
    """Exact inference with exactly one cause present: chances of every observation, cause by cause."""

    def __init__(self, network: Network) -> None:
        self.network = network
        self._nodes = [it for it in network.order if it not in network.causes]
        self._factors = [self._factor(node) for node in self._nodes]
        self._kept: dict[frozenset[tuple[str, int]], Floats] = {}

    def joint(self, evidence: Evidence) -> Floats:
        """Return the chance of the evidence under each cause, by eliminating every node it does not name."""
        key = frozenset(evidence.items())
        if key not in self._kept:
            self._kept[key] = self._eliminate(evidence)
        return self._kept[key]

    def chance(self, node: str, evidence: Evidence) -> Floats:
        """Return, for each cause, the chance of state 1 of a node after the evidence."""
        before = self.joint(evidence)
        found: Floats = np.divide(
            self.joint({**evidence, node: 1}), before, out=np.full_like(before, 0.5), where=before > 0
        )
        return found

    def _factor(self, node: str) -> tuple[tuple[str, ...], Floats]:
        """Return the table of a node by cause, then its other parents, then its own state."""
        above = self.network.parents[node]
        kept = tuple(it for it in above if it not in self.network.causes)
        rows = [
            self.network.chance[node][tuple(slice(None) if it in kept else int(it == cause) for it in above)]
            for cause in self.network.causes
        ]
        ones = np.stack(rows)
        return (*kept, node), np.stack([1.0 - ones, ones], axis=-1)

    def _eliminate(self, evidence: Evidence) -> Floats:
        wanted = self._above(evidence)
        factors = [
            _reduced(names, table, evidence)
            for node, (names, table) in zip(self._nodes, self._factors, strict=True)
            if node in wanted
        ]
        hidden = [it for it in wanted if it not in evidence]
        while hidden:
            node = min(hidden, key=lambda it: len({name for names, _ in factors if it in names for name in names}))
            hidden.remove(node)
            factors = [it for it in factors if node not in it[0]] + [
                _summed(node, [it for it in factors if node in it[0]])
            ]
        result = np.ones(len(self.network.causes))
        for _, table in factors:
            result = result * table
        return result

    def _above(self, evidence: Evidence) -> set[str]:
        """Return the nodes that matter to the evidence: itself and what lies above it."""
        found, queue = set(), [it for it in evidence if it not in self.network.causes]
        while queue:
            node = queue.pop()
            if node not in found:
                found.add(node)
                queue += [it for it in self.network.parents[node] if it not in self.network.causes]
        return found


def _reduced(names: tuple[str, ...], table: Floats, evidence: Evidence) -> tuple[tuple[str, ...], Floats]:
    at = tuple(evidence.get(it, slice(None)) for it in names)
    return tuple(it for it in names if it not in evidence), table[(slice(None), *at)]  # type: ignore[index]


def _summed(node: str, factors: Sequence[tuple[tuple[str, ...], Floats]]) -> tuple[tuple[str, ...], Floats]:
    """Return the product of factors with one node summed out; the first axis of all is the cause."""
    names = sorted({it for listed, _ in factors for it in listed})
    number = {it: place + 1 for place, it in enumerate(names)}
    left = [it for it in names if it != node]
    operands: list[object] = []
    for listed, table in factors:
        operands += [table, [0, *(number[it] for it in listed)]]
    result: Floats = np.einsum(*operands, [0, *(number[it] for it in left)])
    return tuple(left), result


@dataclass(frozen=True, slots=True)
class PrinterCase:
    """A broken printer: its cause, the state of every other node, and the complaint."""

    cause: int
    states: Mapping[str, int]
    symptom: str


def draw_cases(network: Network, count: int, seed: int = 1) -> list[PrinterCase]:
    """Return cases drawn from the network, each with one cause and at least one complaint."""
    random = Random(seed)
    cases: list[PrinterCase] = []
    while len(cases) < count:
        cause = random.choices(range(len(network.causes)), weights=list(network.prior))[0]
        states = {it: int(it == network.causes[cause]) for it in network.causes}
        for node in network.order:
            if node not in states:
                at = tuple(states[it] for it in network.parents[node])
                states[node] = int(random.random() < network.chance[node][at])
        shown = [it for it, state in ABNORMAL.items() if states[it] == state]
        if shown:
            cases.append(PrinterCase(cause, states, random.choice(shown)))
    return cases
