"""The clock of the benchmarks that compare processor time."""

from collections.abc import Callable
from time import process_time


def fastest(times: int, call: Callable[[], object]) -> float:
    """Processor seconds of the fastest of several runs."""
    taken = []
    for _ in range(times):
        begun = process_time()
        call()
        taken.append(process_time() - begun)
    return min(taken)
