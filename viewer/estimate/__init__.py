"""The till: quantities times the user's own prices. Pure: no I/O, no clock, no Flask; money is Decimal.

One way through: quantities -> needs (what must be bought, and why) -> priced lines -> totals. Every figure
marked common practice is a field of ``practice.Practice`` and can be replaced in the price list.
"""
