"""A shift of orders at one saw: its shop, and a trainee who serves it by hand."""
