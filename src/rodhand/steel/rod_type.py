"""What one kind of rod is: its sizes, steel, bend limit and make-up figure."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from rodhand.faults import Fault
from rodhand.steel import tube
from rodhand.steel.fields import FieldReader
from rodhand.steel.thread import GAUGE_POINT, JointDimensions, ThreadForm

BUILDS = ("one-piece", "friction-welded", "unknown")
WELD_FLASHES = ("removed", "not removed", "unknown")
SHOULDERS = ("unknown", "single", "double")

LONG_LIFE_RATIO = 1200.0
"""Bend radius over tube OD of the long-life line: 100 ft of radius per inch of diameter
(READ in a web digest of a handbook chapter; common guidance, a price and not a limit)."""


@dataclass(frozen=True)
class RodType:
    """One kind of rod, as its maker describes it and as somebody measured it.

    Parameters
    ----------
    name : str
        What people call it.
    tube_od, wall : float
        Outside diameter and wall of the tube between the joints. [m]
    length : float
        Shoulder to shoulder, the length one rod adds to the string. [m]
    joint_od, joint_bore : float
        Outside and bore of the joint. [m]
    joint_length : float
        Length of the thick part at ONE end. [m]
    yield_stress : float
        Yield stress of the tube. [Pa]
    build : {"one-piece", "friction-welded", "unknown"}
        How the joint is held to the tube.
    weld_flash : {"removed", "not removed", "unknown"}
        Whether the flash of a friction weld was taken off; unknown counts as not removed.
    limit_radius : float
        The maker's least bend radius. [m]
    makeup_torque, joint_torsional_yield : float, optional
        The maker's make-up torque and joint yield torque. [N m]
    mass : float, optional
        Mass of a rod. [kg]
    shoulders : {"unknown", "single", "double"}
        How many seats the joint makes up on.
    price : float, optional
        Price of a new rod, in the book's money.
    joint : JointDimensions, optional
        Thread and seat dimensions, where somebody entered them.
    """

    name: str
    tube_od: float
    wall: float
    length: float
    joint_od: float
    joint_bore: float
    joint_length: float
    yield_stress: float
    build: str
    weld_flash: str
    limit_radius: float
    makeup_torque: float | None = None
    joint_torsional_yield: float | None = None
    mass: float | None = None
    shoulders: str = "unknown"
    price: float | None = None
    joint: JointDimensions | None = None

    @property
    def tube_id(self) -> float:
        """Inside diameter of the tube. [m]"""
        return self.tube_od - 2.0 * self.wall

    @property
    def tube_area(self) -> float:
        """Metal area of the tube. [m^2]"""
        return tube.area(self.tube_od, self.tube_id)

    @property
    def tube_inertia(self) -> float:
        """Second moment of area of the tube. [m^4]"""
        return tube.inertia(self.tube_od, self.tube_id)

    @property
    def joint_inertia(self) -> float:
        """Second moment of area of the joint, threads not counted out. [m^4]"""
        return tube.inertia(self.joint_od, self.joint_bore)

    @property
    def stiff_joint_factor(self) -> float:
        """How much more the tube bends than the hole because the joints bend less. [-]

        J = L / (L - Lj (1 - Ib/Ij)) with Lj both joint ends together: one moment along the rod,
        curvature M/EI in each part, total angle given by the hole.
        """
        both_ends = 2.0 * self.joint_length
        spared = both_ends * (1.0 - self.tube_inertia / self.joint_inertia)
        return self.length / (self.length - spared)

    @property
    def long_life_radius(self) -> float:
        """Radius of the long-life line, 1200 x tube OD: a price, no alarm. [m]"""
        return LONG_LIFE_RATIO * self.tube_od

    def limit_angle(self, length: float | None = None) -> float:
        """Largest allowed change of direction over a length at the maker's radius.

        Parameters
        ----------
        length : float, optional
            Length along the hole; one rod when not given. [m]

        Returns
        -------
        float
            Angle, length over radius. [rad]
        """
        return (self.length if length is None else length) / self.limit_radius


def radius_from_percent(percent: float, length: float) -> float:
    """Bend radius of a limit written as so many percent over a length: R = 100 l / p.

    Parameters
    ----------
    percent : float
        Limit, read as p/100 radians over the length. [%]
    length : float
        The length it is stated for. [m]

    Returns
    -------
    float
        Radius. [m]

    Raises
    ------
    ValueError
        If percent or length is not greater than zero.
    """
    if not (percent > 0 and length > 0):
        raise ValueError(f"percent and length must be greater than 0, got {percent}, {length} m")
    return 100.0 * length / percent


def rod_type_from_fields(fields: Mapping[str, object], source: str) -> RodType:
    """Build a rod type from keys that carry their unit, and tell every fault at once.

    Parameters
    ----------
    fields : mapping
        The keys of a rod type file, for example ``tube_od_mm``, ``wall_in``, ``length_ft``,
        ``yield_ksi``, ``limit_radius_m`` or ``limit_pct`` with ``limit_length_ft``.
    source : str
        Name of the file or form; also the rod type's name when none is given.

    Returns
    -------
    RodType
        The rod type, in SI.

    Raises
    ------
    BadInputError
        With all faults: unknown or doubled keys, missing or impossible sizes, no limit.

    Notes
    -----
    The ranges only catch a wrong unit; they are ours, not a maker's.
    """
    reader = FieldReader(fields, source)
    sizes = {
        name: reader.number(name, dimension, low, high, required=True)
        for name, dimension, low, high in (
            ("tube_od", "size", 0.015, 0.40),
            ("wall", "size", 0.0015, 0.08),
            ("length", "size", 0.5, 15.0),
            ("joint_od", "size", 0.015, 0.50),
            ("joint_bore", "size", 0.003, 0.40),
            ("joint_length", "size", 0.02, 2.0),
            ("yield", "stress", 200e6, 2000e6),
        )
    }
    _check_geometry(reader, sizes)
    limit = _limit_radius(reader)
    makeup = reader.number("makeup", "torque", 20.0, 5e5)
    joint_yield = reader.number("joint_torsional_yield", "torque", 20.0, 1e6)
    if makeup is not None and joint_yield is not None and makeup >= joint_yield:
        reader.faults.append(
            Fault("rod_type_makeup_over_yield", f"{makeup:.0f} N·m", column="makeup")
        )
    joint = _joint_dimensions(reader, sizes["joint_od"])
    name = reader.text("name", source)
    build = reader.choice("build", BUILDS, "unknown")
    flash = reader.choice("weld_flash", WELD_FLASHES, "unknown")
    shoulders = reader.choice("shoulders", SHOULDERS, "unknown")
    mass = reader.number("mass", "mass", 0.5, 3000.0)
    price = reader.plain("price", 0.0, 1e6)
    reader.finish()
    whole = {key: value for key, value in sizes.items() if value is not None}
    whole["yield_stress"] = whole.pop("yield")
    assert limit is not None  # finish() has raised otherwise
    return RodType(
        name=name, build=build, weld_flash=flash, limit_radius=limit, makeup_torque=makeup,
        joint_torsional_yield=joint_yield, mass=mass, shoulders=shoulders, price=price,
        joint=joint, **whole,
    )  # fmt: skip


def _check_geometry(reader: FieldReader, sizes: Mapping[str, float | None]) -> None:
    """Sizes that cannot belong to one piece of steel; a missing size is a fault already."""
    pairs = (
        ("wall", 2.0, "tube_od", "rod_type_no_bore_left"),
        ("joint_bore", 1.0, "joint_od", "rod_type_bore_too_large"),
        ("joint_length", 2.0, "length", "rod_type_joints_too_long"),
    )
    for small, factor, large, code in pairs:
        inner, outer = sizes[small], sizes[large]
        if inner is not None and outer is not None and factor * inner >= outer:
            found = f"{1e3 * inner:g} mm / {1e3 * outer:g} mm"
            reader.faults.append(Fault(code, found, column=small))


def _limit_radius(reader: FieldReader) -> float | None:
    """The bend limit, as a radius or as a percentage over a stated length, exactly one."""
    radius_keys = reader.given("limit_radius", "size")
    percent_keys = reader.given("limit", "share")
    if radius_keys and percent_keys:
        reader.faults.append(Fault("rod_type_limit_twice", column=percent_keys[0]))
        reader.given("limit_length", "size")
        return None
    if percent_keys:
        share = reader.number("limit", "share", 0.001, 0.60)
        length = reader.number("limit_length", "size", 0.3, 100.0, required=True)
        if share is None or length is None:
            return None
        return radius_from_percent(100.0 * share, length)
    reader.given("limit_length", "size")
    if not radius_keys:
        reader.faults.append(Fault("rod_type_limit_missing", column="limit_radius"))
        return None
    return reader.number("limit_radius", "size", 2.0, 5000.0)


def _joint_dimensions(reader: FieldReader, joint_od: float | None) -> JointDimensions | None:
    """Thread and seat dimensions: all of them or none; the nose only with the rest."""
    needed = {
        name: reader.number(name, "size", low, high)
        for name, low, high in (
            ("pitch_diameter", 0.01, 0.40),
            ("lead", 0.001, 0.02),
            ("pin_length", 0.01, 0.30),
            ("counterbore", 0.01, 0.45),
            ("root_truncation", 1e-5, 0.003),
        )
    }
    needed["taper"] = reader.plain("taper_in_per_ft", 0.0, 6.0)
    half_angle = reader.plain("half_angle_deg", 3.0, 45.0)
    nose_od = reader.number("nose_od", "size", 0.01, 0.40)
    nose_id = reader.number("nose_id", "size", 0.003, 0.40)
    missing = [name for name, value in needed.items() if value is None]
    if len(missing) == len(needed) and nose_od is None and nose_id is None:
        return None
    if missing or (nose_od is None) != (nose_id is None):
        missing += [] if (nose_od is None) == (nose_id is None) else ["nose_od / nose_id"]
        reader.faults.append(
            Fault(
                "rod_type_thread_incomplete",
                column=missing[0],
                values={"missing": ", ".join(missing)},
            )
        )
        return None
    whole = {name: value for name, value in needed.items() if value is not None}
    if joint_od is not None and whole["counterbore"] >= joint_od:
        reader.faults.append(Fault("rod_type_no_seat_left", column="counterbore"))
    pitch_at_shoulder = whole["pitch_diameter"] + whole["taper"] / 12.0 * GAUGE_POINT
    if whole["counterbore"] <= pitch_at_shoulder:  # the crests stand out further still
        reader.faults.append(Fault("rod_type_counterbore_small", column="counterbore"))
    thread = ThreadForm(
        name="entered",
        taper=whole["taper"] / 12.0,
        lead=whole["lead"],
        root_truncation=whole["root_truncation"],
        half_angle=math.radians(30.0 if half_angle is None else half_angle),
    )
    return JointDimensions(
        thread, whole["pitch_diameter"], whole["pin_length"], whole["counterbore"], "entered",
        nose_od, nose_id,
    )  # fmt: skip
