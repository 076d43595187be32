"""There is too little metal left for the final hone."""

entries = {"bore_present_largest_2": 85.98}
