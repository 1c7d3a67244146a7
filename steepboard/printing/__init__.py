"""Paper: labels, jar tape and the batch record as PDF, laid out from plain values."""
