"""Which boards to buy and how to cut them: exact, with a proven lower bound.

`problem` holds the values, `rules` judges a plan without a solver, `search.cut_boards` finds one,
and `document.answer` does the same from JSON to JSON.
"""
