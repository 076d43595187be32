from validators.random_builds import random_entries
def proof_builds(recomputer, seeds):
    return [random_entries(recomputer.plan, s) for s in seeds]
