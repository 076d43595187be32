"""The second statement of the physics: numpy and the standard library, nothing else.

Foundations
    value, words, constants; wiring and evaluate: parameter names are the wiring, and one call
    computes every result of a build. A module's `__not_quantities__` names its building blocks.
Measuring
    measuring, uncertainty, fits, verdict.
Choice of parts, shop order
    parts, slider_crank, candidates, candidate_dead_centres, candidate_dwell, candidate_motion,
    candidate_ratio; honing, shop_order.
Bores, pistons, rings
    bores, bore_form; pistons, pins, pairing; press_fits, retainers; rings, ring_layout,
    ring_grooves, ring_sets.
Crank and bearings
    crank, journal_form, main_journals, crankpins; bearings; main_housings, main_walls,
    main_clearances, main_shells, main_line; rod_housings, rod_walls, rod_clearances, rod_shells,
    rod_side; shell_limits, shell_orders.
Oil film
    oils, film_oils; duties, bearing_loads; film_formula, film_rows; rod_films, rod_trials;
    main_films, main_trials. reynolds solves the equation itself, to hold the formula against.
Deck, gasket, compression
    deck, deck_corners, rocking, running_losses, gaskets, gasket_offers, head_clearance, present; volumes,
    compression, wanted_ratio.
Fasteners
    fasteners, bolt_strength, rod_bolts, separation; joints.
Masses and balance
    masses, mass_matching; balance, bob_weights, shaking.
Top end
    shims, springs, valve_timing, chambers.
Record
    marks, assembly, record; charts.
"""
