"""The wall of the grade that is fitted was not given."""

entries = {"main_grade_wall_2": None}
