"""A shift of orders: played order by order on one saw, and beside it the best plan."""
