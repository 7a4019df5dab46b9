"""What commands answer to scripts: values in, plain dicts and lists out, with no files and no printing.

Grades, scores and points are numbers or None here, whole tenths everywhere else. A place is `rank`, places
gained are `movement`. What facts answer, each section says itself.
"""
