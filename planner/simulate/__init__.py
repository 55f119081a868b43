"""Simulated players, on purpose unlike what the planner assumes about real ones."""
