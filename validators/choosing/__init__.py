"""Choices over a whole engine: shells from stock, pistons to bores, masses that match, gasket, parts to buy.

choose        from a returned workbook to every answer
measured      what a returned sheet says, and why it does not say more
stock_lists   the lists that a shop keeps beside the workbook
programme     binary programmes, solved stage by stage
shells, pairing, masses, gaskets   the four choices
combinations  parts that are on offer, before anything is bought
entered       the workbook with the choice entered
choice_text, choice_json, combination_page   the answers as text, JSON and a page
"""
