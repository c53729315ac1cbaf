"""Everything a book's record and mechanics find that somebody should act on, as tasks."""

from __future__ import annotations

from rodhand.advice.this_week import Task, in_order
from rodhand.book.rig.shift_checks import shift_tasks
from rodhand.book.tasks.event_tasks import event_tasks
from rodhand.book.tasks.lead_week import lead_week_tasks
from rodhand.book.tasks.limit_verdicts import overload_tasks, tight_makeup_tasks
from rodhand.book.tasks.look_tasks import finding_tasks, look_tasks, sub_tasks, wrench_tasks
from rodhand.book.tasks.set_tasks import leading_tasks, life_tasks, set_life_tasks
from rodhand.book.tasks.work_tasks import (
    break_tasks,
    gauge_tasks,
    low_makeup_tasks,
    open_joint_tasks,
    over_steer_tasks,
    spike_tasks,
)
from rodhand.book.work.assess import Assessment
from rodhand.book.work.gauge_register import gauge_register_tasks


def all_tasks(assessment: Assessment) -> tuple[Task, ...]:
    """Everything to act on, loudest first."""
    makers = (
        break_tasks, overload_tasks, finding_tasks, wrench_tasks, sub_tasks, over_steer_tasks,
        gauge_tasks, spike_tasks, event_tasks, tight_makeup_tasks, low_makeup_tasks,
        open_joint_tasks, shift_tasks, life_tasks, leading_tasks, lead_week_tasks, look_tasks,
        set_life_tasks, gauge_register_tasks,
    )  # fmt: skip
    return in_order([task for make in makers for task in make(assessment)])
