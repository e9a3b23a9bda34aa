"""Filters of the Build place."""
