"""A ring set was filed for one bore and fitted in another as well."""

entries = {
    "ring_mark_2": 7,
    "ring_mark_3": "7",
}
