"""The catalogue as it is printed: names by kind, each with state and source."""

from typing import TYPE_CHECKING, Any

from viewer.catalogue import KINDS

if TYPE_CHECKING:
    from finishes.catalogue import Catalogue


def catalogue_answer(catalogue: "Catalogue") -> dict[str, Any]:
    """``{"timber": [{"name", "state", "source", …}, …], …, "sample": […], "count", "count_in_words"}``."""
    from finishes.catalogue.count import count

    answer: dict[str, Any] = {}
    states: dict[str, int] = {"Indicative": 0, "Measured": 0}
    for kind in (*KINDS, "sample"):
        answer[kind] = []
        for name, entry in catalogue.entries(kind).items():
            if kind in KINDS:
                states[entry.state] += 1
            answer[kind].append(
                {
                    "name": name,
                    "state": entry.state,
                    "source": entry.source,
                    "words": getattr(entry, "words", ""),
                    "default": kind in KINDS and name == catalogue.default(kind),
                }
            )
    counted = {state.lower(): number for state, number in states.items()}
    return {**answer, "count": counted, "count_in_words": count(catalogue).sentence}
