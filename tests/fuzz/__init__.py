"""Spoilt workbooks by the thousand, each from a level and a seed; what may never come of them."""
