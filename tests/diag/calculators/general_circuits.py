"""Give a circuit of ours to a general circuit package, and random circuits to try both on."""

from random import Random

from lcapy import Circuit as GeneralCircuit

from diag.calculators.circuits import Branch, Circuit, ConstantCurrent, Load, Resistance, Supply


def general_voltages(circuit: Circuit) -> dict[str, float]:
    """Return the volts across the cores at every node by the package's own nodal analysis, per core.

    In lcapy `I1 a b amperes` pushes its current out at a: a load from plus to minus is written minus first.
    """
    general = GeneralCircuit()
    nodes = node_names(circuit)
    plus = {name: str(2 * place + 2) for place, name in enumerate(nodes)}
    minus = {name: str(2 * place + 3) for place, name in enumerate(nodes)}
    plus_root, minus[circuit.supply.node] = plus[circuit.supply.node], "0"
    source = circuit.supply.source_resistance_ohm
    general.add(f"V1 {'1' if source else plus_root} 0 {circuit.supply.voltage_v!r}")
    if source:
        general.add(f"Rs 1 {plus_root} {source!r}")
    for place, branch in enumerate(circuit.branches):
        far = (minus, plus) if branch.swapped else (plus, minus)
        general.add(f"Ra{place} {plus[branch.start]} {far[0][branch.end]} {branch.out_ohm!r}")
        general.add(f"Rb{place} {minus[branch.start]} {far[1][branch.end]} {branch.return_ohm!r}")
    for place, load in enumerate(circuit.loads):
        general.add(load_line(place, load, plus[load.node], minus[load.node]))
    return {name: potential(general, plus[name]) - potential(general, minus[name]) for name in nodes}


def load_line(place: int, load: Load, plus: str, minus: str) -> str:
    if isinstance(load, Resistance):
        return f"Rl{place} {plus} {minus} {load.resistance_ohm!r}"
    assert isinstance(load, ConstantCurrent), "the general package is linear"
    return f"I{place} {minus} {plus} {load.current_a!r}"


def potential(general: GeneralCircuit, node: str) -> float:
    return 0.0 if node == "0" else float(general[node].v.sympy)


def node_names(circuit: Circuit) -> list[str]:
    ends = [end for branch in circuit.branches for end in (branch.start, branch.end)]
    return list(dict.fromkeys([circuit.supply.node, *ends]))


def random_tree(random: Random, most_nodes: int = 9) -> Circuit:
    """Return a 24 V tree that sags but never collapses, with one load or none or several at each node."""
    count = random.randint(1, most_nodes)
    branches = tuple(
        Branch(
            f"b{node}",
            f"n{random.randrange(node)}",
            f"n{node}",
            round(random.uniform(0.001, 0.3), 4),
            round(random.uniform(0.001, 0.3), 4),
        )
        for node in range(1, count + 1)
    )
    loads: list[Load] = []
    for node in range(count + 1):
        for place in range(random.choice([0, 1, 1, 2])):
            name = f"l{node}-{place}"
            if random.random() < 0.75:
                loads.append(ConstantCurrent(name, f"n{node}", round(random.uniform(0.0, 0.3), 4)))
            else:
                loads.append(Resistance(name, f"n{node}", round(random.uniform(40, 900), 2)))
    source = random.choice([0.0, 0.05, 0.4])
    return Circuit(Supply("n0", 24.0, source), branches, tuple(loads))


def with_rings(random: Random, circuit: Circuit, rings: int) -> Circuit:
    """Return the circuit with so many more branches between nodes it already has."""
    nodes = node_names(circuit)
    more = tuple(
        Branch(
            f"ring{place}",
            *random.sample(nodes, 2),
            out_ohm=round(random.uniform(0.001, 0.3), 4),
            return_ohm=round(random.uniform(0.001, 0.3), 4),
        )
        for place in range(rings)
    )
    return Circuit(circuit.supply, circuit.branches + more, circuit.loads)
