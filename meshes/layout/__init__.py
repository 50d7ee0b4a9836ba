"""The layout core: pure, exact calculation in millimetres.

Nothing in this folder may import numpy, trimesh, a solver, Flask, a clock, or do I/O.
"""
