"""The builder did not give the wall of the grade that is fitted."""

without = ["main_grade_wall_2"]
