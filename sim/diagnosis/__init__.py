"""Working out what is wrong: what each look would show, what is believed, what the best path costs.

Pure functions over a table; only `matrix_from_saw`, `stages` and `worlds` run the saw.
"""
