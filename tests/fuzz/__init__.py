"""Random and damaged inputs, the same for the same seed."""
