"""Check rows of pressures, panel factors, stiffeners, class rules and outboards: translate units, call the package."""

from lamcalc.parts import loads, rules
from lamcalc.parts.basis import KW_PER_HP, MM_PER_FOOT, MM_PER_INCH, NEWTON_PER_LBF
from lamcalc.parts.outboard import KG_PER_LB

MPA = 1e-3  # per kN/m2


def iso_ncg(lwl, bc, beta, v, mldc):
    return loads.dynamic_load_factor(waterline_length_m=lwl, chine_beam_m=bc, deadrise_deg=beta, speed_knots=v,
                                     loaded_mass_kg=mldc).value


def iso_pbmp_base(mldc, lwl, bc, kdc, ncg):
    return loads.bottom_planing_base(loaded_mass_kg=mldc, waterline_length_m=lwl, chine_beam_m=bc,
                                     category_factor=kdc, dynamic_load_factor=ncg)


def iso_pbm_min(mldc, lwl, kdc, expo=0.333):
    return loads.bottom_minimum(loaded_mass_kg=mldc, waterline_length_m=lwl, category_factor=kdc, exponent=expo)


def iso_psm_min(lwl, kdc):
    return loads.side_minimum(waterline_length_m=lwl, category_factor=kdc)


def iso_kl(x_over_lwl, ncg):
    return loads.longitudinal_factor(x_over_lwl, ncg).value


def iso_t_single(b, p, k2, sd, kc=1.0):
    return rules.single_skin_thickness(p * MPA, b, k2=k2, design_stress=sd, kc=kc)


def iso_panel_moment(p, b, k2, kc=1.0):
    return rules.panel_moment(p * MPA, b, k2=k2, kc=kc)


def iso_panel_shear(p, b, ksh=0.5, kc=1.0):
    return rules.panel_shear(p * MPA, b, ksh=ksh, kc=kc)


def iso_sm(p, s, lu, sd, kcs=1.0):
    return rules.stiffener_section_modulus(p * MPA, s, lu, design_stress=sd, kcs=kcs) / 1e3  # mm3 to cm3


def iso_aw(p, s, lu, td, ksa=5.0):
    return rules.stiffener_web_area(p * MPA, s, lu, design_shear_stress=td, ksa=ksa) / 1e2  # mm2 to cm2


def iso_i(p, s, lu, e, kcs=1.0, k1s=0.05):
    return rules.stiffener_second_moment(p * MPA, s, lu, e=e, kcs=kcs, k1s=k1s) / 1e4  # mm4 to cm4


def kr_shell(location):
    return lambda s_m, d, length: rules.frp_ship_shell_thickness(location, spacing_m=s_m, draught_m=d, length_m=length)


def cd_skin(skin):
    return lambda k4, lwl, c1=3.2: rules.draft_skin_thickness(skin, waterline_length_m=lwl, k4=k4, c1=c1)


def bs4994_k(k1, k2, k3, k4, k5):
    return rules.vessel_design_factor(k1=k1, k2=k2, k3=k3, k4=k4, k5=k5)


def bollard_lbf(shp, d_in):
    return loads.static_thrust(shp * KW_PER_HP, d_in * MM_PER_INCH) / NEWTON_PER_LBF


def thrust_from_power(p_kw, v_knots, eta):
    return loads.cruising_thrust(p_kw, v_knots, efficiency=eta)


def momentum_bollard_n(p_kw, d_m, merit=0.7, rho=1025.0):
    return loads.disc_thrust(p_kw, d_m * 1e3, merit=merit, water_density_kg_m3=rho)


def outboard_total_lb(*parts):
    return loads.rigged_mass(*(pounds * KG_PER_LB for pounds in parts)) / KG_PER_LB


def bolt_row_tension_n(moment_nm, row_to_heel_m):
    return loads.bolt_row_tension(moment_nm * 1e3, row_to_heel_m * 1e3)


def cfr_factor(length_ft, transom_ft):
    return loads.size_factor(length_ft * MM_PER_FOOT, transom_ft * MM_PER_FOOT)


def cfr_hp_rounded(length_ft, transom_ft, remote_and_20in, flat_hard_chine=False):
    return loads.power_limit(length_ft * MM_PER_FOOT, transom_ft * MM_PER_FOOT, remote_steering=remote_and_20in,
                             transom_height=(20 if remote_and_20in else 15) * MM_PER_INCH,
                             flat_bottom_hard_chine=flat_hard_chine).power_hp


FUNCTIONS = {
    "iso_ncg": iso_ncg, "iso_pbmd_base": loads.bottom_displacement_base, "iso_pbmp_base": iso_pbmp_base,
    "iso_pbm_min": iso_pbm_min, "iso_psm_min": iso_psm_min, "iso_pdm_base": loads.deck_base, "iso_kl": iso_kl,
    "iso_pdm": loads.deck_base,
    "iso_k2": rules.moment_factor, "iso_k3": rules.deflection_factor, "iso_kc": rules.curvature_factor,
    "iso_ksh": rules.shear_factor, "iso_t_single": iso_t_single, "iso_panel_moment": iso_panel_moment,
    "iso_panel_shear": iso_panel_shear, "iso_sm": iso_sm, "iso_aw": iso_aw, "iso_i": iso_i,
    "kr_t_bottom": kr_shell("bottom"), "kr_t_side": kr_shell("side"),
    "cd_skin_inner": cd_skin("inner"), "cd_skin_outer": cd_skin("outer"),
    "bs4994_k": bs4994_k, "k4_bs": rules.vessel_cycle_factor, "unit_over_layer": rules.layer_modulus,
    "bollard_lbf": bollard_lbf, "thrust_from_power": thrust_from_power, "momentum_bollard_n": momentum_bollard_n,
    "outboard_total_lb": outboard_total_lb, "bolt_row_tension_n": bolt_row_tension_n,
    "cfr_factor": cfr_factor, "cfr_hp_rounded": cfr_hp_rounded,
}
