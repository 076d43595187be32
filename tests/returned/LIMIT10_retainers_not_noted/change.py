"""Nobody noted how many retainers there are."""

entries = {
    "retainer_count_1": None,
    "retainer_count_2": None,
    "retainer_count_3": None,
}
