"""What other programs read of a job: CSV, XLSX, DXF. Pure functions from results to bytes.

No clock, no files, no Flask. Lengths are millimetres; slats, panels and walls are counted from 1, as
on every drawing and label. Words never become formulas in a spreadsheet.
"""
