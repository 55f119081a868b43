"""The term: weeks by exercises as whole numbers, what was promised of it, and the plan that came out."""
