"""Scenario files: the gate that lets YAML in, the schema, stock, machines, metals, and the shelf they lie on.

Not here: a running saw, and what a scenario turns out to be worth.
"""
