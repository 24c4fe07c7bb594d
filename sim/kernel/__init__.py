"""Time, motion and chance; knows nothing of saws."""
