"""Half of the file got lost on its way."""

def change(data, _):
    return data[: len(data) // 2]
