"""Hazards: what is there, what lies too near to it, what can happen, who decides."""
