"""Two rods changed places, one piston is spelt another way, and one is of no bore."""

entries = {
    "fitted_rod_1": "R2",
    "fitted_rod_2": "R1",
    "fitted_piston_2": "p2 ",
    "fitted_piston_3": "X9",
}
