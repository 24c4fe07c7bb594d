"""What metal, oil and air do. One file a part; no part knows that a controller exists."""
