"""The rules of cutting, judged without a solver: what makes a plan a right answer.

PURE. Every plan the search finds passes through here before anyone sees it, and tests put plans
here that are wrong in one way each.
"""

from collections import Counter

from pens.cutting.problem import Board, Plan, Problem, leftover_ticks, offcut_ticks


def faults(problem: Problem, plan: Plan) -> list[str]:
    """Return what is wrong with a plan as an answer to a problem; nothing when it is right."""
    return [
        *_stock_faults(problem, plan),
        *_piece_faults(problem, plan),
        *(fault for board in plan.boards for fault in _board_faults(problem, board)),
        *_cost_faults(plan),
    ]


def _stock_faults(problem: Problem, plan: Plan) -> list[str]:
    taken: Counter = Counter()
    for board in plan.boards:
        taken[board.stock] += board.count
    found = [f"{stock}: not in stock" for stock in taken if stock not in problem.stock]
    for stock, copies in Counter(problem.stock).items():
        if stock.available is not None and taken[stock] > copies * stock.available:
            found.append(f"{stock}: {taken[stock]} taken")
    return found


def _piece_faults(problem: Problem, plan: Plan) -> list[str]:
    wanted: Counter = Counter()
    for piece in problem.pieces:
        wanted[piece.profile, piece.name, piece.length_ticks] += piece.count
    cut: Counter = Counter()
    for board in plan.boards:
        for one in board.cuts:
            cut[board.stock.profile, one.name, one.length_ticks] += board.count
    return [
        f"{key}: {cut[key]} cut, {wanted[key]} wanted"
        for key in wanted | cut
        if cut[key] != wanted[key]
    ]


def _board_faults(problem: Problem, board: Board) -> list[str]:
    if board.count < 1 or not board.cuts:
        return [f"{board}: nothing to cut"]
    lengths = [cut.length_ticks for cut in board.cuts]
    leftover = leftover_ticks(problem.usable_ticks(board.stock), problem.kerf_ticks, lengths)
    if leftover < 0:
        return [f"{board}: the pieces are {-leftover} ticks longer than the board"]
    if board.offcut_ticks != offcut_ticks(leftover, problem.kerf_ticks):
        return [f"{board}: the offcut is wrong"]
    return []


def _cost_faults(plan: Plan) -> list[str]:
    cost = sum(board.stock.price * board.count for board in plan.boards)
    found = []
    if cost != plan.cost:
        found.append(f"cost: {plan.cost} told, {cost} paid")
    if plan.lower_bound > plan.cost:
        found.append(f"lower_bound: {plan.lower_bound} is above the cost {plan.cost}")
    return found
