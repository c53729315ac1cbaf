"""The same string by a general finite-element library: same mesh, final contact set imposed.

PyNiteFEA knows no gap: the library gets a straight beam along X whose contact nodes are moved to
where the wall is, the hole's own shape added, and finds all else: deflections, moments, reactions.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from Pynite import FEModel3D

from rodhand.drillstring.contact import Contact
from rodhand.steel.tube import ELASTIC_MODULUS

Floats = NDArray[np.float64]


def hole_shape(contact: Contact) -> tuple[Floats, Floats]:
    """Slope and deflection of the hole's axis at the nodes, by simple integration."""
    beam = contact.beam
    h = beam.lengths[:, None]
    planes = beam.mean.shape[1]
    angle = np.vstack((np.zeros(planes), np.cumsum(beam.mean * h, axis=0)))
    inside = angle[:-1] * h + (beam.mean - beam.slope / 3.0) * h**2 / 2.0
    return angle, np.vstack((np.zeros(planes), np.cumsum(inside, axis=0)))


def library_model(contact: Contact) -> FEModel3D:
    """The library's model of a solved string, ready to be analysed."""
    beam = contact.beam
    angle, shape = hole_shape(contact)
    on = contact.wall_force > 0.0
    place = shape + contact.offset
    model = FEModel3D()
    model.add_material("steel", ELASTIC_MODULUS, ELASTIC_MODULUS / 2.6, 0.3, 0.0)
    for k, x in enumerate(beam.nodes):
        model.add_node(f"n{k}", float(x), 0.0, 0.0)
    for stiff in np.unique(beam.stiffness):
        inertia = float(stiff) / ELASTIC_MODULUS
        model.add_section(f"s{stiff:.6g}", 1e-2, inertia, inertia, 2.0 * inertia)
    is_plane = beam.mean.shape[1] == 1
    for k, stiff in enumerate(beam.stiffness):
        model.add_member(f"m{k}", f"n{k}", f"n{k + 1}", "steel", f"s{stiff:.6g}")
        for plane, axis in enumerate("yz"[: beam.mean.shape[1]]):
            load = float(beam.lateral[k, plane])
            if load:
                model.add_member_dist_load(f"m{k}", f"F{axis.upper()}", load, load)
    last = len(beam.nodes) - 1
    for k in range(last + 1):
        is_end = k in (0, last)
        model.def_support(
            f"n{k}", support_DX=k == 0, support_DY=False, support_DZ=is_plane,
            support_RX=True, support_RY=is_plane, support_RZ=False,
        )  # fmt: skip
        if is_end or on[k]:
            for plane, axis in enumerate("YZ"[: beam.mean.shape[1]]):
                model.def_node_disp(f"n{k}", f"D{axis}", float(place[k, plane]))
        if is_end:
            model.def_node_disp(f"n{k}", "RZ", float(angle[k, 0]))
            if not is_plane:
                model.def_node_disp(f"n{k}", "RY", -float(angle[k, 1]))
    step = np.diff(np.append(beam.axial, 0.0))
    for k in np.flatnonzero(step):
        model.add_node_load(f"n{k + 1}", "FX", -float(step[k]))
    model.add_load_combo("all", {"Case 1": 1.0})
    return model


def library_bend(contact: Contact) -> Floats:
    """Moment over EI of the tube at both ends of each element, by the library. [1/m]"""
    model = library_model(contact)
    model.analyze_PDelta()
    return moments(contact, model) / contact.beam.tube_stiffness[:, None]


def moments(contact: Contact, model: FEModel3D) -> Floats:
    """Bending moment over both planes at both ends of each element. [N m]"""
    found = np.zeros((len(contact.beam.stiffness), 2))
    for k in range(len(found)):
        member = model.members[f"m{k}"]
        force = np.asarray(member.f("all")).ravel()
        found[k] = np.hypot(force[5], force[4]), np.hypot(force[11], force[10])
    return found
