"""The use cases: each takes a store and the time."""
