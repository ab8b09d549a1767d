"""Joints of a repair through one door: scarfs, tabbing and seams, fillets and putty, clamps, kerfs and bolts."""

from lamcalc.shop.clamping import (ClampPlan, HolePreparation, KerfPlan, PlateSize, bolt_bearing, bolt_force,
                                   clamp_plan, clamp_pressure_kpa, kerf_plan, plate_size, prepare_hole)
from lamcalc.shop.fillets import (FILLERS, RECIPES, Filler, Putty, PuttyRecipe, check_fillet, fillet_arc, fillet_area,
                                  fillet_reach, fillet_volume_ml, putty)
from lamcalc.shop.scarf import (BondCheck, Ring, ScarfPlan, scarf_bond, scarf_length, scarf_plan, scarf_shear_factor)
from lamcalc.shop.tabbing import (TabbingPlan, check_seams, strips_for_width, tabbing_leg, tabbing_plan,
                                  tabbing_shear_capacity, tape_width)

__all__ = ["FILLERS", "RECIPES", "BondCheck", "ClampPlan", "Filler", "HolePreparation", "KerfPlan", "PlateSize",
           "Putty", "PuttyRecipe", "Ring", "ScarfPlan", "TabbingPlan", "bolt_bearing", "bolt_force", "check_fillet",
           "check_seams", "clamp_plan", "clamp_pressure_kpa", "fillet_arc", "fillet_area", "fillet_reach",
           "fillet_volume_ml", "kerf_plan", "plate_size", "prepare_hole", "putty", "scarf_bond", "scarf_length",
           "scarf_plan", "scarf_shear_factor", "strips_for_width", "tabbing_leg", "tabbing_plan",
           "tabbing_shear_capacity", "tape_width"]
