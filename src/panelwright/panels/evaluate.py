"""From a stack to what the panel is: fractions, thickness, mass, layer by layer."""

from __future__ import annotations

from dataclasses import dataclass

from panelwright.mechanics import fractions, laminate, moisture, sandwich
from panelwright.mechanics.arrays import Array
from panelwright.panels.stack import Stack


@dataclass(frozen=True)
class Build:
    """What lies in a panel. Layer arrays ``(..., L)``, panel values ``(...)``; SI units."""

    fibre_mass_fraction: Array
    fibre_volume_fraction: Array
    density: Array  # of the solids
    fibre: Array  # kg/m2, as are all masses below
    water: Array
    thread: Array
    cloth_resin: Array
    fill_resin: Array
    soak: Array
    film_laid: Array  # before sanding or squeezing out
    film: Array
    edge_laid: Array
    edge: Array
    kerf: Array
    solid: Array
    layer_thickness: Array
    layer_mass: Array
    thickness: Array
    areal_mass: Array


def evaluate(stack: Stack) -> Build:
    """Everything that follows from a stack without stiffness or strength.

    stack : arrays of shape ``(..., L)``. Only calls of registered formulas stand here.
    """
    fraction = fractions.fibre_mass_fraction_in_use(
        stack.fibre_mass_fraction,
        fractions.mass_from_volume_fraction(
            stack.fibre_volume_given,
            stack.fibre_density,
            stack.resin_density,
            stack.void_fraction,
        ),
        fractions.fibre_mass_fraction_from_thickness(
            stack.gauged_thickness,
            stack.fibre_mass,
            stack.fibre_density,
            stack.resin_density,
            stack.void_fraction,
            stack.thread_mass,
            stack.thread_density,
        ),
        stack.fibre_volume_given,
        stack.gauged_thickness,
    )
    cloth_resin = fractions.resin_in_cloth(stack.fibre_mass, fraction, stack.thread_mass)
    ply = fractions.ply_thickness(
        stack.fibre_mass,
        cloth_resin,
        stack.fibre_density,
        stack.resin_density,
        stack.void_fraction,
        stack.thread_mass,
        stack.thread_density,
    )
    water = fractions.water_in_cloth(stack.fibre_mass, stack.cloth_moisture)

    basic = moisture.basic_specific_gravity(stack.tabulated_gravity, stack.tabulated_moisture)
    gravity = moisture.specific_gravity(basic, stack.moisture)
    timber = moisture.timber_density(gravity, stack.moisture)
    density = sandwich.solid_density(stack.solid_density, timber)
    flat = sandwich.kerf_volume_flat(stack.kerf_depth, stack.kerf_width, stack.kerf_pitch)
    bent = sandwich.kerf_volume_bent(stack.solid_thickness, stack.curvature)
    kerf = sandwich.kerf_resin(flat, bent, stack.kerf_resin_density)
    solid = sandwich.solid_mass(stack.solid_thickness, density, flat)
    fill = sandwich.fill_resin(stack.solid_thickness, stack.fill_density)

    film_laid = sandwich.film_on_top(stack.film_applied, stack.film_sunk)
    film = sandwich.kept(film_laid, stack.film_kept)
    film_thickness = sandwich.thickness_of_mass(film, stack.film_density)
    edge_laid = sandwich.edge_glue(stack.solid_thickness, stack.edge_cover, stack.edge_spread)
    edge = sandwich.kept(edge_laid, stack.edge_kept)

    layer_thickness = laminate.layer_thickness(ply, stack.solid_thickness, film_thickness)
    layer_mass = laminate.layer_mass(
        stack.fibre_mass,
        water,
        stack.thread_mass,
        cloth_resin,
        fill,
        stack.soak,
        film,
        edge,
        kerf,
        solid,
    )
    return Build(
        fibre_mass_fraction=fraction,
        fibre_volume_fraction=fractions.fibre_volume_fraction(
            stack.fibre_mass, stack.fibre_density, ply
        ),
        density=density,
        fibre=stack.fibre_mass,
        water=water,
        thread=stack.thread_mass,
        cloth_resin=cloth_resin,
        fill_resin=fill,
        soak=stack.soak,
        film_laid=film_laid,
        film=film,
        edge_laid=edge_laid,
        edge=edge,
        kerf=kerf,
        solid=solid,
        layer_thickness=layer_thickness,
        layer_mass=layer_mass,
        thickness=laminate.panel_thickness(layer_thickness),
        areal_mass=laminate.areal_mass(layer_mass),
    )
