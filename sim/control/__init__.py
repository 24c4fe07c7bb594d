"""What the controller does: state tables, the interlock table, and the code that walks them.

Not here: the plant, which it knows by its wires alone; and who else reads its tables (bench, coach, proofs).
"""
