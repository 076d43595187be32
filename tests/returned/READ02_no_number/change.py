"""Words stand where a number belongs."""

entries = {"chamber_volume_2": "see my mail"}
