"""Timber and sheets: what to buy and how to cut it. Only ``solver.py`` imports a solver."""
