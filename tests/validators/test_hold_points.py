"""No step of the assembly reads cleared while something that it rests on is missing, out or undecided."""

import pytest

from sheetgen.assembly import steps_for
from sheetgen.build import new_build
from sheetgen.plan import plan_workbook
from validators.edge_builds import proof_builds
from validators.recompute import Recomputer

NOT_A_PASS = {"under", "over", "too close to call"}
UNDECIDED = {"not measured", "no limit set", "check limits"}


@pytest.mark.parametrize(("layout", "family"), [("inline-3", "millimetre"), ("flat-4", "inch")])
def test_a_step_is_held_exactly_while_something_it_rests_on_is(layout, family):
    plan = plan_workbook(new_build(layout, family))
    recomputer = Recomputer(plan)
    batch = proof_builds(recomputer, range(120))
    few = batch[:24]
    seen = set()
    for builds, results in (
        (few, recomputer.recalculated(few)), (batch, recomputer.reference(batch))
    ):
        for number in range(len(builds)):
            marks_wrong = results["mark_faults"][number] + results["fitted_faults"][number] > 0
            for step in steps_for(plan.build.layout.kind):
                points_open = results["fit_points_open"][number] > 0
                held = (step.marks and marks_wrong) or (step.points and points_open)
                for item in step.rests_on:
                    words = {results[cell.name][number] for cell in plan.by_key[f"{item}_verdict"]}
                    required = plan.by_name[f"item_required_{item}"].value == 1
                    held = held or words & NOT_A_PASS or (required and words & UNDECIDED)
                state = results[f"step_state_{step.key}"][number]
                assert (state in ("held", "signed but held")) == bool(held), (number, step.key)
                seen.add(state)
    assert seen == {"held", "signed but held", "after an earlier step", "cleared", "done"}
