"""Forecasts held against flocks whose end is known: published trials, weighed part of the way.

PURE. `trials` reads the flocks, `baselines` are the guesses anybody could make, `judging` forecasts and
scores, `table` writes the scores as Markdown. `manage.py backtest_growth` runs it.
"""
