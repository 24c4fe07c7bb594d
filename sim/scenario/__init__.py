"""Scenario files: the gate that lets YAML in, the schema, stock, machines, metals, and where they lie.

Not here: a running saw, and what a scenario turns out to be worth.
"""
