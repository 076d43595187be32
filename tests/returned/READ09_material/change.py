"""A material that is not in the table."""

entries = {"body_material_piston": "unobtainium"}
