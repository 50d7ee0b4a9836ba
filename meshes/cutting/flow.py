"""A strip as a path: nodes are positions along it, arcs are pieces (or nothing) from one to the next.

Pieces lie in falling order, so that equal sets of pieces share one path; only positions that such an order
can reach are nodes, so lengths need no grid (after J. M. Valerio de Carvalho, Annals of Operations Research
86, 1999)::

    0 --piece--> 812 --piece--> 1624 ..nothing..> 2350 = room     one strip is one unit of flow 0 to room
"""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

from meshes.cutting.fill import Integers, Strip
from meshes.cutting.solver import Column, Row, minimise


@dataclass(frozen=True, slots=True, kw_only=True)
class Graph:
    """The model and what its first variables mean: arcs as (from, to, size index or -1 for nothing)."""

    arcs: tuple[tuple[int, int, int], ...]
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]


def build(order: Integers, limit: int) -> Graph | None:
    """Variables: arcs, then strips per room, then sections per room. None beyond ``limit`` arcs."""
    arcs = _arcs(order, limit)
    if arcs is None:
        return None
    nodes = sorted({0, *order.rooms, *(end for arc in arcs for end in arc[:2])})
    arcs += [(a, b, -1) for a, b in pairwise(nodes)]
    node_row = {position: row for row, position in enumerate(nodes)}
    piece_row = len(nodes)
    room_row = piece_row + len(order.sizes)
    most = float(sum(order.demands))
    columns = []
    for start, end, size in arcs:
        entries = [(node_row[start], -1.0), (node_row[end], 1.0)]
        if size >= 0:
            entries.append((piece_row + size, 1.0))
        upper = float(order.demands[size]) if size >= 0 else most
        columns.append(Column(cost=0.0, upper=upper, entries=tuple(entries)))
    for room, position in enumerate(order.rooms):
        entries = [(node_row[0], 1.0), (node_row[position], -1.0), (room_row + room, -1.0)]
        if position == 0:  # a length too short to be used at all
            entries = [(room_row + room, -1.0)]
        columns.append(Column(cost=0.0, upper=most, entries=tuple(entries)))
    for room, cost in enumerate(order.costs):
        columns.append(
            Column(cost=float(cost), upper=most, entries=((room_row + room, float(order.per_section)),))
        )
    rows = [Row(lower=0.0, upper=0.0) for _ in nodes]
    rows += [Row(lower=float(count)) for count in order.demands]
    rows += [Row(lower=0.0) for _ in order.rooms]
    return Graph(arcs=tuple(arcs), columns=tuple(columns), rows=tuple(rows))


def _arcs(order: Integers, limit: int) -> list[tuple[int, int, int]] | None:
    longest = max(order.rooms)
    reached = {0}
    arcs: set[tuple[int, int, int]] = set()
    for index, (size, demand) in enumerate(zip(order.sizes, order.demands, strict=True)):
        for start in sorted(reached):
            position = start
            for _ in range(demand):
                if position + size > longest:
                    break
                arcs.add((position, position + size, index))
                position += size
                reached.add(position)
        if len(arcs) > limit:
            return None
    return sorted(arcs)


def solve(
    graph: Graph, order: Integers, *, time_limit_s: float, cancelled: Callable[[], bool]
) -> tuple[tuple[Strip, ...], float]:
    """The best plan found (empty if none in time) and the bound proven by then."""
    answer = minimise(graph.columns, graph.rows, whole=True, time_limit_s=time_limit_s, cancelled=cancelled)
    return (_read(graph, order, answer.values) if answer.values else ()), answer.bound


def _read(graph: Graph, order: Integers, values: tuple[float, ...]) -> tuple[Strip, ...]:
    """Take the flow apart into strips, walking back from each strip's end: what flows in has come from 0."""
    arriving: dict[int, list[list[int]]] = {}
    for (start, end, size), value in zip(graph.arcs, values, strict=False):
        if amount := round(value):
            arriving.setdefault(end, []).append([start, size, amount])
    ends = [round(value) for value in values[len(graph.arcs) : len(graph.arcs) + len(order.rooms)]]
    strips = []
    for room, (end, count) in enumerate(zip(order.rooms, ends, strict=True)):
        for _ in range(count if end else 0):
            counts = [0] * len(order.sizes)
            position = end
            while position:
                step = next(arc for arc in arriving[position] if arc[2])
                step[2] -= 1
                if step[1] >= 0:
                    counts[step[1]] += 1
                position = step[0]
            strips.append(Strip(room=room, counts=tuple(counts), times=1))
    return tuple(strips)
