"""The wall of the grade that is fitted was cleared."""

entries = {"main_grade_wall_2": None}
