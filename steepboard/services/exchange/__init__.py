"""The shelf as one document and as lists: written, read back, checked."""
