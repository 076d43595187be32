"""Recomputes returned workbooks and says whether their numbers can be trusted."""
