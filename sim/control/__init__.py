"""What the controller does: state tables, the interlock table, and the code that walks them."""
