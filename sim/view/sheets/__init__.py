"""The sheets beside the picture: inspections, diagnosis, why not, bench, signals, instructor.

Not here: rules and findings; a sheet shows what the session answers.
"""
