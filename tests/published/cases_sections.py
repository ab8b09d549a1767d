"""Adapters for the sandwich, section, beam and plywood rows."""

import numpy as np

from lamcalc.mechanics import (
    beam_cases,
    fibre_content,
    micromechanics,
    sandwich_failure,
    section_sums,
    transverse_shear,
)
from lamcalc.mechanics.lamina import reduced_stiffness
from lamcalc.mechanics.laminate import Laminate, stiffness_matrices, unpacked
from lamcalc.mechanics.sandwich import Sandwich, core_shear_stiffness, sandwich_gain
from lamcalc.mechanics.sandwich_plate import sandwich_plate as plate_response
from lamcalc.mechanics.sections import Part, Section

# names of the beam cases in the rows, and the word that rows may use for them
_BEAMS = {"ss_point": "ss_centre", "ss_center": "ss_centre", "three_point": "ss_centre", "ss_central": "ss_centre",
          "four_point": "third_point", "four_point_third": "third_point", "four_point_quarter": "quarter_point",
          "fixed_center": "fixed_centre", "fixed_point": "fixed_centre", "clamped_uniform": "fixed_uniform",
          "clamped_centre": "fixed_centre", "cantilever": "cantilever_tip", "cantilever_point": "cantilever_tip",
          "ss_third": "third_point", "ss_quarter": "quarter_point", "fixed_fixed_uniform": "fixed_uniform"}


def sandwich(get, b, tf, core, ef, ec, gc=1.0, M=0.0, V=0.0):
    wall = Sandwich(tf, core, tf, ef, ec, ef, gc, width_mm=b)
    stress = wall.layer_stresses(M)
    # approximate theory of the source: the core carries no bending, the skins keep their own
    skins_only, share = Sandwich(tf, core, tf, ef, 0.0, ef, gc, width_mm=b), wall.ei_share
    # the core inertia follows from its section even where its share is zero because ec is zero
    core_i = section_sums.rectangle_second_moment(b, core)
    return {"face_outer": stress[0, 0], "face_inner": stress[0, 1], "core_edge": stress[1, 0],
            "face_approx": skins_only.layer_stresses(M)[0, 0], "face_thin": wall.thin_skin_stresses(M)[0],
            "D": wall.ei, "EI": wall.ei, "D_thin": wall.ei_thin_skins,
            "I_faces": (share[0] + share[2]) * wall.ei / ef, "I_core": core_i, "S": wall.ga,
            "tau": wall.core_shear_stress(V), "tau_approx": wall.mean_core_shear_stress(V)}[get]


def sandwich_beam(get, kind, W, L, b, tf, core, ef, gc, ec=0.0):
    wall = Sandwich(tf, core, tf, ef, ec, ef, gc, width_mm=b)
    beam = beam_cases.standard_beam(_BEAMS.get(kind, kind), load_n=W, span_mm=L, ei=wall.ei, ga=wall.ga)
    return {"wb": beam.bending_mm, "ws": beam.shearing_mm, "w": beam.deflection_mm, "M": beam.moment_n_mm,
            "V": beam.shear_n, "D": wall.ei, "S": wall.ga, "share": beam.shearing_mm / beam.deflection_mm,
            "face": wall.thin_skin_stresses(beam.moment_n_mm)[0],
            "tau": wall.mean_core_shear_stress(beam.shear_n)}[get]


def wrinkle(get, ef, ec, gc, k="class_rule"):
    assert get == "stress", get
    return sandwich_failure.wrinkling_stress(ef, ec, gc, coefficient=k)


def base_datum(get, ei_base, sum_et, width, yna):
    ei = section_sums.shift_to_neutral_axis(ei_base, sum_et * width, yna)
    return {"EI": ei, "correction": ei_base - ei}[get]


def layer_table(get, plies, width, ply=1):
    """Rows list the layers from the far face; the base line is the other face."""
    t, e = np.array(plies, dtype=float)[::-1].T
    strip = Section.from_layers(e, t, width_mm=width)
    part, total = strip.parts[-ply], strip.constants
    ei_layer = part.e_mpa * section_sums.rectangle_second_moment(part.width_mm, part.height_mm, part.y_mm)
    sums = {"sum_Et": total.ea / width, "sum_EA": total.ea, "yn": total.neutral_axis_mm, "EI_na": total.ei,
            "EI_base": total.ei + total.ea * total.neutral_axis_mm**2, "t": strip.fibres_mm.max()}
    return {"lever": part.y_mm, "Et": part.e_mpa * part.height_mm, "EA": part.e_mpa * part.height_mm * width,
            "Ets": part.e_mpa * part.height_mm * part.y_mm, "EI": ei_layer, "I": ei_layer / part.e_mpa, **sums}[get]


def sandwich_plate(get, a, b, faces, tf, core, gxz, gyz, q, shear="d2/c", load="uniform"):
    skin, distance = reduced_stiffness(*faces), core + tf
    stack = np.stack([skin, np.zeros((3, 3)), skin])
    bending = unpacked(stiffness_matrices(stack, [tf, core, tf])[2])
    stiff_x, stiff_y = (core_shear_stiffness(g, core, tf, tf) for g in (gxz, gyz))
    if shear in ("c", "c2/c"):
        stiff_x, stiff_y = gxz * core, gyz * core
    elif shear == "none":
        stiff_x = stiff_y = np.inf
    found = plate_response(bending, stiff_x, stiff_y, a_mm=a, b_mm=b, pressure_mpa=q, load=load)
    heights = {"mid": 0.5 * distance, "out": 0.5 * core + tf, "outer": 0.5 * core + tf, "in": 0.5 * core}
    if get[:2] in ("sx", "sy"):
        name, _, place = get.partition("_")
        curved = found.kappa * [1.0, 1.0, 1.0 if name == "sxy" else 0.0]
        return (skin @ curved)[("sx", "sy", "sxy").index(name)] * heights[place or "mid"]
    return {"w": found.deflection_mm, "wb": found.bending_mm, "ws": found.shearing_mm, "Mx": found.moment[0],
            "My": found.moment[1], "Mxy": found.moment[2], "Qx": found.shear_x, "Qy": found.shear_y,
            "tau_xz": found.shear_x / distance, "tau_yz": found.shear_y / distance}[get]


def _laminate(mat, angles, t):
    return Laminate.from_plies(*mat, angles, np.broadcast_to(np.asarray(t, dtype=float), (len(angles),)))


def strip_three_point(get, mat, angles, t, P_line, span, width, g13, g23):
    """Cylindrical bending: the layer modulus is Q11, load and moment are per width."""
    wall = _laminate(mat, angles, t)
    strip = Section.from_layers(wall.qbar[:, 0, 0], wall.thickness_mm)
    g = transverse_shear.rotated_shear_modulus(g13, g23, angles, axis="x")
    ga = transverse_shear.shear_stiffness(wall.qbar, wall.thickness_mm, g, axis="x")
    beam = beam_cases.standard_beam("ss_centre", load_n=P_line, span_mm=span, ei=strip.ei, ga=ga)
    stress = strip.part_stresses(beam.moment_n_mm)
    return {"s_bot": stress[0, 0], "s_top": stress[-1, 1], "w": beam.deflection_mm, "wb": beam.bending_mm,
            "ws": beam.shearing_mm, "M": beam.moment_n_mm, "S": ga}[get]


def shear_profile(get, mat, angles, t, V, z=0.0, axis="x"):
    wall = _laminate(mat, angles, t)
    if get == "tau_max":
        return np.abs(transverse_shear.shear_stress_profile(
            wall.qbar, wall.thickness_mm, V, axis=axis).ply_max_mpa).max()
    assert get == "tau", get
    return transverse_shear.shear_stress_at(wall.qbar, wall.thickness_mm, V, [z], axis=axis)[0]


def _section(parts):
    return Section(tuple(Part(f"part {k + 1}", b, h, y, e) for k, (b, h, y, e) in enumerate(parts)))


def section(get, parts, M=0.0, points=None):
    whole = _section(parts)
    if points and get in points:
        return whole.stress(M, *points[get])
    sums = {"yn": whole.neutral_axis_mm, "EI": whole.ei, "EA": whole.ea}
    if get in sums:
        return sums[get]
    # "I1", "I2" ...: second moment of the section transformed to the modulus of that part
    return whole.ei / parts[int(get[1:] or 1) - 1][3]


def section_capacity(get, parts, limits, span=None):
    y, e, allowable = np.array(limits, dtype=float).T
    moment, _ = _section(parts).moment_capacity(y, e, allowable)
    if get == "M":
        return moment
    per_load = {"w": ("ss_uniform", span), "W": ("ss_uniform", 1.0), "P": ("ss_centre", 1.0)}[get]
    unit = beam_cases.standard_beam(per_load[0], load_n=1.0, span_mm=span, ei=1.0).moment_n_mm
    return moment / unit / per_load[1]


def section_shear(get, parts, V, cut_y, b_cut=None):
    whole = _section(parts)
    return {"tau": lambda: whole.shear_stress(V, cut_y, width_mm=b_cut), "q": lambda: whole.shear_flow(V, cut_y),
            "flow": lambda: whole.shear_flow(V, cut_y), "ES": lambda: whole.first_moment(cut_y)}[get]()


CASES = {fn.__name__: fn for fn in (
    sandwich, sandwich_beam, wrinkle, base_datum, layer_table, sandwich_plate, strip_three_point, shear_profile,
    section, section_capacity, section_shear)}


def iso_stack(ws, psis):
    """Strip of unit width with the rule's ply thickness and modulus; ply 1 is the loaded face."""
    t = fibre_content.ply_thickness(np.multiply(ws, 1000.0), psis)
    e = micromechanics.ply_constants_small_craft("csm", psis).e1
    return Section.from_layers(e, t)


def iso_stack_ei_base(ws, psis):
    sums = iso_stack(ws, psis).constants
    return sums.ei + sums.ea * sums.neutral_axis_mm**2


def iso_stack_mean_e(ws, psis):
    stack = iso_stack(ws, psis)
    return stack.ea / stack.fibres_mm.max()


def iso_ply_compliance(ws, psis, ply, sigma_u, moment, fraction=0.5):
    return fraction * sigma_u * iso_stack(ws, psis).section_modulus_mm3[ply - 1].min() / moment


def iso_first_moment(ws, psis, k):
    stack = iso_stack(ws, psis)
    return abs(stack.first_moment(stack.fibres_mm[k - 1, 1]))


FUNCTIONS = {
    "wrinkling": sandwich_failure.wrinkling_stress, "parallel_axis": section_sums.shift_to_neutral_axis,
    "sandwich_stiffness_gain": lambda ratio: sandwich_gain(ratio).stiffness,
    "sandwich_strength_gain": lambda ratio: sandwich_gain(ratio).strength,
    "strip_i_mm4": section_sums.rectangle_second_moment,
    "iso_stack_zna": lambda ws, psis: iso_stack(ws, psis).neutral_axis_mm,
    "iso_stack_ei": lambda ws, psis: iso_stack(ws, psis).ei,
    "iso_stack_ei_base": iso_stack_ei_base, "iso_stack_mean_e": iso_stack_mean_e,
    "iso_ply_compliance": iso_ply_compliance, "iso_first_moment": iso_first_moment,
    # any consistent length unit: the rows are in inches, 12 in of width by default
    "plywood_i": lambda t, width=12.0: section_sums.rectangle_second_moment(width, t),
    "plywood_s": lambda t, width=12.0: section_sums.rectangle_section_modulus(width, t),
}
