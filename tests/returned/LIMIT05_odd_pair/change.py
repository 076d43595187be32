"""One housing is bigger: an odd pair of shells would be nearer."""

entries = {"main_housing_reading_3_vertical": 59.006}
