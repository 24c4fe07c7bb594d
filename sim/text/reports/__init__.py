"""What the commands print: one file a report, in words, tables or JSON.

Not here: the session in a terminal (`sim.text`), and what is reported (the wings below).
"""
