"""What a hand can set, a file a station. Assembled by `sim.plant.set_points`."""
