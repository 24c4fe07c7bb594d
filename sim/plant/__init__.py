"""What metal, oil and air do: one file a part, what a hand can set, what harm can come.

Not here: the controller, which no part knows of, and faults, which are put into parts from above.
"""
