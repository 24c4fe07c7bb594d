"""What can be wrong with the machine: the catalogue of causes, one file a family.

Not here: symptoms, which follow from the machine, and the controller, which no fault knows of.
"""
