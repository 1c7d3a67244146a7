"""Steepboard: plan, steep, be reminded, strain, and see what the solids kept."""

__version__ = "0.1.0"
