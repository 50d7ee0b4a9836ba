"""Paper for client, shop and workshop: PDF from the same drawings as the page. Pure: results in, bytes out.

No clock: a sheet is dated by the job. No random numbers. Black ink first; nothing is told by colour alone.
"""
