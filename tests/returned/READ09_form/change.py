"""How a gauge is read was typed freely: nothing can be computed from its readings."""

entries = {"entry_form_piston": "sizes"}
