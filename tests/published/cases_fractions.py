"""Adapters for the rows on units, fibre content, micromechanics and rule-book properties.

They translate names and units only; densities of shop rows are g/cm3.
"""

import math

from lamcalc import units
from lamcalc.mechanics import bars, fibre_content, micromechanics, mixture_rules, regressions, stiffeners
from lamcalc.mechanics.regressions import CLASS_SOCIETY, OLDER_RULE, SMALL_CRAFT


def _pick(get, **values):
    """The output called `get`, whatever its capitals and underscores."""
    return {name.lower().replace("_", ""): value for name, value in values.items()}[get.lower().replace("_", "")]


def _mixture(get, mixture):
    if get == "density":
        return mixture.density
    shares = {"w": mixture.weight_fractions, "m": mixture.weight_fractions, "v": mixture.volume_fractions}[get[0]]
    return shares[int(get[1:]) - 1]


def mix_masses(get, masses, densities):
    return _mixture(get, fibre_content.mixture_from_masses(masses, densities))


def mix_volumes(get, fractions, densities):
    return _mixture(get, fibre_content.mixture_from_volumes(fractions, densities))


def burn_off(get, m_total, m_fibre, rf, rm, measured=None, m_water=None, rho_w=1.0):
    if measured is None and m_water is not None:
        measured = fibre_content.density_by_water(m_total, m_water, water_density_kg_m3=rho_w)
    test = fibre_content.burn_off(m_total, m_fibre, fibre_density_kg_m3=rf, resin_density_kg_m3=rm,
                                  measured_density_kg_m3=measured)
    dense = fibre_content.burn_off(m_total, m_fibre, fibre_density_kg_m3=rf, resin_density_kg_m3=rm)
    return _pick(get, wf=test.weight_fraction, wm=1 - test.weight_fraction, vf=test.fibre_volume_fraction,
                 vm=test.resin_volume_fraction, vf_dense=dense.fibre_volume_fraction,
                 vm_dense=dense.resin_volume_fraction, theoretical=test.theoretical_density_kg_m3,
                 measured=test.measured_density_kg_m3, experimental=test.measured_density_kg_m3,
                 actual=test.measured_density_kg_m3, density=test.measured_density_kg_m3, void=test.void_fraction,
                 voids=test.void_fraction, vv=test.void_fraction, void_fraction=test.void_fraction)


def ply_t(get, areal_kg_m2, wf, rf, rm):
    densities = {"fibre_density_kg_m3": rf, "resin_density_kg_m3": rm}
    return _pick(get, t=fibre_content.ply_thickness(areal_kg_m2 * 1e3, wf, **densities),
                 vf=fibre_content.fibre_volume_fraction(wf, **densities),
                 density=fibre_content.laminate_density(wf, **densities),
                 resin=fibre_content.resin_areal_weight(areal_kg_m2 * 1e3, wf) / 1e3)


def unit_modulus(get, per_kg, thickness_per_kg, areal=None, wf=None):
    if get == "resin_to_glass":
        return fibre_content.resin_per_glass(wf)
    if get == "per_width":
        return regressions.width_value_from_unit_value(per_kg, areal * 1e3)
    if get in ("thickness", "t"):
        return thickness_per_kg * areal
    return regressions.stress_from_unit_value(per_kg, thickness_per_kg)


def attached_width(get, tp, core_w, k=0.5, n=10):
    # one side: k core widths and n thicknesses; the rule itself has 0.5 and 10
    width = stiffeners.attached_width("lr_frp", thickness_mm=tp * n / 10, base_width_mm=core_w * k / 0.5)
    return _pick(get, one_side=width / 2, half=width / 2, total=width, both=width, width=width)


def lr_moduli(get, gc):
    return _pick(get, compression=CLASS_SOCIETY["e_compression"], csm_tension=CLASS_SOCIETY["e_tension_csm"],
                 wr_tension=CLASS_SOCIETY["e_tension_wr"])(gc)


def micro(get, pf, pm, vf, stress=None, area=1.0, xi=2.0, eta0=1.0):
    formulas = {"voigt": lambda: mixture_rules.rule_of_mixtures(pf, pm, vf),
                "reuss": lambda: mixture_rules.series_bound(pf, pm, vf),
                "ht": lambda: mixture_rules.halpin_tsai(pf, pm, vf, xi),
                "halpintsai": lambda: mixture_rules.halpin_tsai(pf, pm, vf, xi),
                "chamis": lambda: mixture_rules.chamis(pf, pm, vf),
                "krenchel": lambda: mixture_rules.krenchel(pf, pm, vf, eta0),
                "loadshare": lambda: mixture_rules.fibre_load_share(pf, pm, vf)}
    name = get.lower().replace("_", "")
    if name in formulas:
        return formulas[name]()
    shared = bars.share_axial_load([pf * vf * area, pm * (1 - vf) * area], (stress or 1.0) * area)
    load, matrix = shared.loads
    return _pick(get, load_ratio=load / matrix, ratio=load / matrix, strain=shared.strain, strain_f=shared.strain,
                 strain_m=shared.strain, load_f=load, load_m=matrix, force_f=load, force_m=matrix, fibre_load=load,
                 matrix_load=matrix, F_f=load, F_m=matrix, P_f=load, P_m=matrix, stress_f=shared.strain * pf,
                 stress_m=shared.strain * pm, fibre_stress=shared.strain * pf, matrix_stress=shared.strain * pm)


def micro_g(get, ef, nuf, em, num, vf, xi=1.0):
    gf, gm = mixture_rules.shear_modulus(ef, nuf), mixture_rules.shear_modulus(em, num)
    if get == "ht_hewitt":
        return mixture_rules.halpin_tsai(gf, gm, vf, mixture_rules.hewitt_malherbe_xi(vf))
    return micro(get, gf, gm, vf, xi=xi) if get not in ("gf", "gm") else {"gf": gf, "gm": gm}[get]


def mat_estimate(get, e1, e2):
    e, g = mixture_rules.random_mat_constants(e1, e2)
    return _pick(get, E=e, G=g, nu=e / (2 * g) - 1)


def bars_parallel(get, areas, moduli, load):
    shared = bars.share_axial_load([area * e for area, e in zip(areas, moduli, strict=True)], load)
    name, number = get.rstrip("0123456789"), get[len(get.rstrip("0123456789")):]
    if not number:
        return _pick(get, strain=shared.strain, E=sum(shared.loads) / shared.strain / sum(areas))
    i = int(number) - 1
    return _pick(name, stress=shared.strain * moduli[i], load=shared.loads[i], force=shared.loads[i],
                 P=shared.loads[i], share=shared.shares[i])


def fibre_tube(get, od, idia, L, P, limit):
    area, second_moment = bars.tube_section(od, idia)
    return _pick(get, E=bars.modulus_for_sag(P, L, second_moment, limit), volume=area * L, area=area, I=second_moment)


def thin_bars(get, ea, load):
    shared = bars.share_axial_load(ea, load)
    if get == "strain":
        return shared.strain
    return {"P": shared.loads, "s": shared.shares}[get[0]][int(get.lstrip("Pshare")) - 1]


CASES = {function.__name__: function for function in (
    mix_masses, mix_volumes, burn_off, ply_t, unit_modulus, attached_width, lr_moduli, micro, micro_g, mat_estimate,
    bars_parallel, fibre_tube, thin_bars)}


def _grams(rho_f, rho_r):
    """Densities in g/cm3 as keyword arguments in kg/m3."""
    return {"fibre_density_kg_m3": rho_f * 1e3, "resin_density_kg_m3": rho_r * 1e3}


def from_oz_yd2(x):
    return units.convert(x, "oz/yd2", "g/m2")


def from_oz_ft2(x):
    return units.convert(x, "oz/ft2", "g/m2")


def combined(oz_yd2, oz_ft2):
    return units.parse(f"{oz_yd2} oz/yd2 + {oz_ft2} oz/ft2", "areal_weight")


def ply_thickness_general(w_kg_m2, psi, rho_f, rho_r):
    return fibre_content.ply_thickness(w_kg_m2 * 1e3, psi, fibre_density_kg_m3=rho_f, resin_density_kg_m3=rho_r)


def ply_thickness_iso(w_kg_m2, psi):
    return fibre_content.ply_thickness(w_kg_m2 * 1e3, psi)


def ply_thickness_mm(w, wf, rho_f=2.56, rho_r=1.20):
    return fibre_content.ply_thickness(w, wf, **_grams(rho_f, rho_r))


def ply_thickness_in(w, wf, rho_f=2.56, rho_r=1.20):
    return units.convert(ply_thickness_mm(w, wf, rho_f, rho_r), "mm", "in")


def ply_thickness_rule_mm(w, wf):
    # the rule prints a closed form; the package's general one must give the same
    thickness = fibre_content.ply_thickness(w, wf)
    assert math.isclose(thickness, w / 3072 * (2.56 / wf - 1.36), rel_tol=1e-12)
    return thickness


def implied_wf_in(w, t_in, rho_f=2.56, rho_r=1.20):
    return fibre_content.weight_fraction_from_thickness(w, units.convert(t_in, "in", "mm"), **_grams(rho_f, rho_r))


def density_lb_ft3(lb):
    return units.convert(lb, "lb/ft3", "kg/m3")


FUNCTIONS = {
    "areal_from_oz_yd2": from_oz_yd2, "areal_oz_yd2": from_oz_yd2,
    "areal_from_oz_ft2": from_oz_ft2, "areal_oz_ft2": from_oz_ft2,
    "areal_stitched_combo": combined, "areal_combined": combined,
    "combo_oz_yd2": lambda oz_yd2, mat: units.convert(combined(oz_yd2, mat), "g/m2", "oz/yd2"),
    "density_lb_ft3": density_lb_ft3, "kg_m3": density_lb_ft3,
    "ply_thickness_iso": ply_thickness_iso, "ply_thickness_general": ply_thickness_general,
    "ply_thickness_mm": ply_thickness_mm, "ply_thickness_in": ply_thickness_in,
    "ply_thickness_rule_mm": ply_thickness_rule_mm, "implied_wf_in": implied_wf_in,
    "psi_from_thickness": lambda w, t: fibre_content.weight_fraction_from_thickness(w * 1e3, t),
    "wf_from_ratio": fibre_content.weight_fraction_from_resin_ratio,
    "psi_from_resin_per_glass": fibre_content.weight_fraction_from_resin_ratio,
    "ratio_from_wf": fibre_content.resin_per_glass, "resin_per_glass": fibre_content.resin_per_glass,
    "mixed_resin_kg": lambda glass_kg, wf: fibre_content.resin_areal_weight(glass_kg, wf),
    "vf_from_wf": lambda wf, rho_f=2.56, rho_r=1.20: fibre_content.fibre_volume_fraction(wf, **_grams(rho_f, rho_r)),
    "laminate_density": lambda wf, rho_f=2.56, rho_r=1.20: fibre_content.laminate_density(
        wf, **_grams(rho_f, rho_r)) / 1e3,
    "burnoff_wf": lambda dry, residue, filler=0.0: fibre_content.burn_off_weight_fraction(
        dry, residue, filler_per_resin=filler),
    "sheet_density": fibre_content.sheet_density,
    "iso_stack_psi": fibre_content.combined_weight_fraction,
    "ply_et": lambda w, psi: ply_thickness_iso(w, psi) * micromechanics.ply_constants_small_craft("csm", psi).e1,
    "iso_uts": SMALL_CRAFT["uts"], "iso_ucs": SMALL_CRAFT["ucs"], "iso_ufs": SMALL_CRAFT["ufs"],
    "iso_tau": SMALL_CRAFT["tau"], "iso_ilss": SMALL_CRAFT["ilss"], "iso_e": SMALL_CRAFT["e"],
    "iso_g": SMALL_CRAFT["g"],
    "lr_e_tension_csm": CLASS_SOCIETY["e_tension_csm"], "lr_e_tension_wr": CLASS_SOCIETY["e_tension_wr"],
    "lr_e_compression": CLASS_SOCIETY["e_compression"],
    "old_uts": OLDER_RULE["uts"], "old_ucs": OLDER_RULE["ucs"], "old_ufs": OLDER_RULE["ufs"],
    "old_tau": OLDER_RULE["tau"], "old_ilss": OLDER_RULE["ilss"], "old_et": OLDER_RULE["e_tension"],
    "old_ec": OLDER_RULE["e_compression"], "old_ef": OLDER_RULE["e_flexure"], "old_g": OLDER_RULE["g"],
    "unit_over_layer": regressions.stress_from_unit_value,
    "k4_bs": regressions.pressure_vessel_cycle_factor,
    "bs4994_k": lambda k1, k2, k3, k4, k5: regressions.pressure_vessel_design_factor(k1=k1, k2=k2, k3=k3, k4=k4, k5=k5),
    "add": lambda *terms: sum(terms), "ratio": lambda a, b: a / b, "scale": lambda x, k: x * k,
}
