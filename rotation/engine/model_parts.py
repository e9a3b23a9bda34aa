"""Parts of a linear programme as programmes of their own.

PURE.
"""

from collections.abc import Sequence

import highspy
import numpy as np
from scipy.sparse import csc_array

from garden.quiet_highs import quiet_highs


def solver_with(
    solver: highspy.Highs, columns: Sequence[int], rows: Sequence[int]
) -> highspy.Highs:
    """Return a solver of some columns and rows of another's model, which goes on where its simplex left off."""
    whole, model, basis = solver.getLp(), highspy.HighsLp(), solver.getBasis()
    matrix = csc_array(
        (whole.a_matrix_.value_, whole.a_matrix_.index_, whole.a_matrix_.start_),
        shape=(whole.num_row_, whole.num_col_),
    )
    matrix = matrix[:, columns].tocsr()[rows].tocsc()
    model.num_row_, model.num_col_ = matrix.shape
    model.col_cost_ = np.asarray(whole.col_cost_)[columns]
    model.col_lower_ = np.asarray(whole.col_lower_)[columns]
    model.col_upper_ = np.asarray(whole.col_upper_)[columns]
    model.row_lower_ = np.asarray(whole.row_lower_)[rows]
    model.row_upper_ = np.asarray(whole.row_upper_)[rows]
    model.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    model.a_matrix_.start_, model.a_matrix_.index_ = matrix.indptr, matrix.indices
    model.a_matrix_.value_ = matrix.data
    part = quiet_highs()
    part.passModel(model)
    if basis.valid:
        of_columns, of_rows = basis.col_status, basis.row_status
        basis.col_status = [of_columns[column] for column in columns]
        basis.row_status = [of_rows[row] for row in rows]
        part.setBasis(basis)
    return part
