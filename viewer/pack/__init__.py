"""The pack of a job: its documents (``documents``), all its files (``files``), on disk or in one archive.

No clock, no random numbers: the pack of one job is the same bytes at every run on one machine. Only
``folder`` writes.
"""
