"""The bore gauge was set on the master of the neighbouring bore, a tenth of a millimetre smaller."""

engine = "four"
entries = {"bore_setting_3": 85.9}
