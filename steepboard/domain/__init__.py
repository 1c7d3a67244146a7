"""Pure arithmetic and records: standard library only; no clock, no files."""
