"""The pistons rock above the deck, and the chosen gasket clears them."""

HEIGHTS = {"deck_reading": {"front": -0.02, "rear": -0.02}, "rocked_reading": {"up": 0.02, "down": -0.06}}
entries = {
    f"{key}_{cylinder}_{place}": height
    for cylinder in (1, 2, 3)
    for key, heights in HEIGHTS.items()
    for place, height in heights.items()
}
