"""Pure arithmetic and records: standard library and uncertainties only; no clock, no files."""
