"""The setting-out drawings: pure functions from a set-out to SVG text, one source for page and paper.

No I/O, no clock, no Flask. User units are millimetres of paper; lettering keeps its size, and a drawing that
gets less room drops detail instead of shrinking its words.
"""
