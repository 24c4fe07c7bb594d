"""What a shift of a test costs; invented."""

COSTS = """costs:
  currency: EUR
  wage_per_h: {value: 60, source: invented for the demo}
  bar_per_kg: {value: 2, source: invented for the demo}
  band: {value: 100, source: invented for the demo}
  remnant_from_mm: {value: 400, source: invented for the demo}
"""
