"""Shell walls in inches: one of a grade, one measured."""

entries = {
    "rod_grade_wall_2": 0.0583,
    "main_wall_upper_3": 0.0779,
}
