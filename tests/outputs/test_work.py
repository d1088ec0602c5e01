"""What several outputs show is made once of a work, and anew of another one."""

from __future__ import annotations

from dataclasses import replace

import sample_plans


def test_what_is_made_once_is_made_anew_for_a_changed_plan():
    asked = []

    def area(work):
        asked.append(work)
        return len(work.plan.parts)

    work = sample_plans.work()
    assert work.once(area) == work.once(area) == len(work.plan.parts)
    assert len(asked) == 1
    other = replace(work, plan=replace(work.plan, inserts=()))
    assert other.once(area) == 1
    assert work.once(area) == len(work.plan.parts)
    assert asked == [work, other]
