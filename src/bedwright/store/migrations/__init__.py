"""The steps from each version of the store to the next."""
