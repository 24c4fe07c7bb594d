"""What the controller does: state tables, the interlock table, and the code that walks them.

Not here: anything of the plant, which it knows by its wires alone, and anything that reads its rows.
"""
