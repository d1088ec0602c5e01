"""Checks of bolts, their holes and seats, and of the joint that they hold. One file a check, one line a check here."""

from __future__ import annotations

from generator.checks.bolts import (
    bearing_pressure,
    bolt_in_cover,
    bolt_in_footprint,
    bolt_length,
    bolt_spacing,
    bolts_alike,
    floor_over_gap,
    head_on_cover,
    hole_size,
    key_reach,
    load_bearing,
    seat_depth,
    seat_wall,
    settling,
    spanner_room,
    thread_engagement,
    thread_seizing,
    tightening_torque,
    washer_in_seat,
    weak_head,
)
from generator.checks.check import Check

CHECKS: tuple[Check, ...] = (
    load_bearing.CHECK,
    bolt_in_cover.CHECK,
    bolt_in_footprint.CHECK,
    bolt_spacing.CHECK,
    hole_size.CHECK,
    seat_wall.CHECK,
    seat_depth.CHECK,
    bolt_length.CHECK,
    thread_engagement.CHECK,
    thread_seizing.CHECK,
    tightening_torque.CHECK,
    weak_head.CHECK,
    bearing_pressure.CHECK,
    floor_over_gap.CHECK,
    settling.CHECK,
    washer_in_seat.CHECK,
    head_on_cover.CHECK,
    spanner_room.CHECK,
    key_reach.CHECK,
    bolts_alike.CHECK,
)
