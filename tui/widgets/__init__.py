"""Parts that more than one step shows."""
