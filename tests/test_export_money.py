"""Estimate and shopping list as tables: Decimal throughout, nothing missing counts as 0."""

from decimal import Decimal

import pytest

from finishes.catalogue import load
from viewer.answers.quantities import quantities
from viewer.demo import PRICES_FILE, demo_bytes
from viewer.estimate.total import Estimate, estimate
from viewer.export.money_tables import estimate_table, shopping_table
from viewer.job.check import check_text
from viewer.job.choices import chosen_finish
from viewer.price_list import price_list_of


@pytest.fixture(scope="module")
def priced() -> Estimate:
    job = check_text(demo_bytes()).job
    assert job is not None
    found = quantities(job, chosen_finish(job), load(), price_list_of(PRICES_FILE)).priced
    assert found is not None
    return found.estimate


def test_the_shopping_list_adds_up_to_the_estimate_without_labour(priced: Estimate) -> None:
    rows = shopping_table(priced).rows
    costs = [row[5] for row in rows]
    assert all(isinstance(cost, Decimal) for cost in costs)
    labour = sum(line.cost.likely for line in priced.lines if line.cost and line.need.item == "labour")
    assert sum(costs) == priced.priced.likely - labour


def test_the_estimates_lines_add_up_in_decimal(priced: Estimate) -> None:
    table = estimate_table(priced)
    count = len(priced.lines)
    assert sum(row[6] for row in table.rows[:count]) == table.rows[count][6] == priced.priced.likely
    assert table.rows[count + 2][6] == priced.total


def test_without_prices_everything_is_missing_and_nothing_costs_nought(priced: Estimate) -> None:
    bare = estimate([line.need for line in priced.lines], None)
    table = estimate_table(bare)
    assert all(row[6] is None for row in table.rows)
    named = [row[8] for row in table.rows if row[0] == "Missing price"]
    assert named == list(bare.missing)
    assert all(row[5] is None for row in shopping_table(bare).rows)
