"""Adapters of the shop rows: they translate units and arguments, the sums are the package's."""

from lamcalc.shop import clamping, climate, coating, fresh_air, joints, mixing, readings
from lamcalc.units import convert

FT2_PER_GAL = convert(1.0, "ft2", "m2") / convert(1.0, "gal", "L")  # one ft2/gal in m2/L


def wf_from_coverage(ft2_per_gal, w, rho_liquid=1.10):
    return coating.glass_fraction_from_coverage(ft2_per_gal * FT2_PER_GAL, areal_weight_gsm=w,
                                               liquid_density_kg_m3=rho_liquid * 1e3)


FUNCTIONS = {
    "catalyst_ml": mixing.catalyst_ml,
    "catalyst_pct_v": mixing.catalyst_percent_v,
    "drops_for": lambda volume_ml, pct_v, drop_ml=0.05: mixing.drop_count(
        mixing.catalyst_ml(volume_ml, pct_v), drops_per_ml=1 / drop_ml),
    "pct_v_from_ml_per_kg": lambda ml, kg, rho=1.10: mixing.percent_v_from_ml_per_kg(
        ml, kg, liquid_density_kg_m3=rho * 1e3),
    "phr": lambda ahew, eew: mixing.hardener_phr(ahew, epoxy_equivalent_g=eew),
    "mass_ratio_from_volume": lambda ratio, rho_a, rho_b: mixing.mass_ratio_from_volume(
        ratio, resin_density_kg_m3=rho_a * 1e3, hardener_density_kg_m3=rho_b * 1e3),
    "coverage_ft2_per_gal": lambda mils: coating.coverage_m2_per_l(mils * 0.0254) / FT2_PER_GAL,
    "mils_from_coverage": lambda ft2_per_gal: coating.coverage_m2_per_l(ft2_per_gal * FT2_PER_GAL) / 0.0254,
    "wf_from_coverage": wf_from_coverage,
    "time_factor": lambda delta_c, q10=2.0: climate.time_factor(delta_c, factor_per_10c=q10),
    "adiabatic_rise": lambda heat, cp: climate.adiabatic_rise(0.0, heat_j_g=heat, resin_cp=cp),
    "mgm3_per_ppm": fresh_air.mg_m3_per_ppm,
    "mgm3": lambda ppm, mw: ppm * fresh_air.mg_m3_per_ppm(mw),
    "vent_m3h": lambda kg, styrene, loss, hours, limit: fresh_air.ventilation_m3_h(
        kg, hours=hours, styrene_fraction=styrene, loss_fraction=loss, limit_mg_m3=limit),
    "scarf_length": joints.scarf_length,
    "scarf_shear_factor": joints.scarf_shear_factor,
    "stepped_leg": lambda first, step, plies: joints.tabbing_leg(plies, first_mm=first, step_mm=step),
    "strips_needed": lambda width, cloth, overlap=0.0: joints.strips_for_width(width, roll_mm=cloth, lap_mm=overlap),
    "bolt_force_n": lambda torque, dia, k=0.2: clamping.bolt_force(torque, dia, nut_factor=k),
    "clamp_pressure_kpa": clamping.clamp_pressure_kpa,
    "panel_lb_ft2": lambda t_in, lb_ft3: convert(
        readings.areal_mass_kg_m2(convert(t_in, "in", "mm"), convert(lb_ft3, "lb/ft3", "kg/m3")), "kg/m2", "lb/ft2"),
    "thickness_for_mass": lambda a, b, mass, rho: readings.coupon_thickness_mm(
        mass, length_mm=a, width_mm=b, density_kg_m3=rho * 1e3),
    "trimmed_mean": readings.trimmed_mean,
    "reinforcement_share": lambda part, total: readings.reinforcement_share(part, total_gsm=total),
}
