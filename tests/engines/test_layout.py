"""Beds that nobody has placed are laid out in rows and never on top of each other."""

from hypothesis import given
from hypothesis import strategies as st

from garden.layout import PATH_M, ROW_M, Plot, next_plot

SIDES = st.floats(min_value=0.2, max_value=20)


def test_the_first_bed_lies_in_the_corner():
    assert next_plot([], 1.2, 2.4) == Plot(0, 0, 1.2, 2.4)


def test_the_next_lies_beside_it_across_a_path():
    assert next_plot([Plot(0, 0, 1.2, 2.4)], 1.2, 2.4) == Plot(1.8, 0, 1.2, 2.4)


def test_a_full_row_begins_a_new_one_below_the_longest_bed():
    row = [Plot(0, 0, 5, 3.6), Plot(5.6, 0, 2, 1)]
    assert next_plot(row, 1.2, 2.4) == Plot(0, 4.2, 1.2, 2.4)


def test_ground_that_is_taken_is_left_alone():
    standing = [Plot(1.5, 0, 1, 2), Plot(0, 0, 1, 2)]
    assert next_plot(standing, 1, 2) == Plot(0, 2.6, 1, 2)


def test_beds_that_share_an_edge_do_not_overlap():
    assert not Plot(0, 0, 1, 1).overlaps(Plot(1, 0, 1, 1))
    assert Plot(0, 0, 1, 1).overlaps(Plot(0.9, 0.9, 1, 1))


@given(st.lists(st.tuples(SIDES, SIDES), min_size=1, max_size=12))
def test_beds_keep_a_path_between_them(sizes):
    plots: list[Plot] = []
    for east_m, south_m in sizes:
        plots.append(next_plot(plots, east_m, south_m))
    for number, plot in enumerate(plots):
        assert plot.right_m <= ROW_M or plot.x_m == 0
        clear = PATH_M - 0.01
        grown = Plot(
            plot.x_m - clear, plot.y_m - clear, plot.east_m + 2 * clear, plot.south_m + 2 * clear
        )
        assert not any(grown.overlaps(other) for other in plots[:number])
