# SPDX-License-Identifier: GPL-3.0-or-later
"""A drape as it is photographed: mannequin, two layers, their pile."""

from collections.abc import Callable, Sequence
from dataclasses import replace

import bpy
import numpy as np

from ...core.arrays import BoolArray
from ...core.cloth import Cloth
from ...core.drape import Drape
from ...core.mannequin import PosedBody
from ...core.mannequin.supports import Support, joined_mesh
from ...core.nap import NapDown
from ...core.pictures.laid import Laid
from ...core.pictures.motifs import printed_at
from .bridge import put_curves, put_mesh, put_strand_colours
from .materials import (
    furniture_material,
    ground_material,
    mannequin_material,
    pile_material,
    set_print,
    strand_colours,
)
from .pile import grow
from .pile_styles import pile_style
from .prints import LINING, place_of, print_image
from .surface import Sheet, draw_layers

__all__ = ["drawn", "put_body", "put_layer", "put_layers", "put_wrap"]

LEAST_PILE_M = 0.0005
CUFF_EDGE_M = 0.004
"""So far inside the edge of a cuff the pile under it begins to be left out."""
LINING_SHARE = 0.5  # of the strands: the lining shows at openings only


def put_wrap(
    drape: Drape,
    collection: bpy.types.Collection,
    nap: NapDown,
    *,
    scale_length: float = 1.0,
) -> None:
    """Put mannequin, chair or bed, outer, lining and the pile of both into ``collection``.

    Parameters
    ----------
    nap
        Down which half the pile strokes smooth.
    scale_length
        Metres in one unit of the scene.
    """
    put_body(drape.body, collection, scale_length=scale_length)
    put_layers(drape, collection, nap, scale_length=scale_length)


def put_body(
    posed: PosedBody, collection: bpy.types.Collection, *, scale_length: float = 1.0
) -> bpy.types.Object:
    """Put the mannequin, which is returned, and what it rests on into ``collection``."""
    body = put_mesh(
        "Mannequin", posed.vertices, posed.triangles, collection, scale_length=scale_length
    )
    body.data.materials.append(mannequin_material())
    if posed.furniture:
        furniture = put_mesh(
            "Chair or bed", *joined_mesh(posed.furniture), collection, scale_length=scale_length
        )
        furniture.data.materials.append(furniture_material())
    return body


def put_layers(
    drape: Drape | Laid,
    collection: bpy.types.Collection,
    nap: NapDown,
    *,
    arranged: Callable[[Sheet, Sheet], tuple[Sheet, Sheet]] | None = None,
    covered_m: float = 0.0,
    strand_share: float = 1.0,
    scale_length: float = 1.0,
) -> None:
    """Put outer, lining and the pile of both into ``collection``.

    ``arranged`` may lay the two sheets otherwise than the drape has them, such as fronts turned back;
    no pile grows on the outer nearer than ``covered_m`` to the end of a sleeve, where a cuff lies on it;
    ``strand_share`` thins the strands out, for a first look.
    """
    outer, lining = drawn(drape)
    if arranged is not None:
        outer, lining = arranged(outer, lining)
    under = _under_cuffs(drape, outer, covered_m)
    supports = drape.body.furniture if isinstance(drape, Drape) else ()
    for name, sheet, cloth, share, seed, bald in (
        ("Outer", outer, drape.outer_cloth, 1.0, 1, under),
        ("Lining", lining, drape.lining_cloth, LINING_SHARE, 2, None),
    ):
        kept = share * strand_share
        put_layer(
            name,
            sheet,
            cloth,
            collection,
            kept,
            nap.stroke,
            seed,
            scale_length,
            bald=bald,
            supports=supports,
        )


def drawn(drape: Drape | Laid, *, rounds: int = 2) -> tuple[Sheet, Sheet]:
    """Outer and lining of a drape as sheets; see `draw_layers`."""
    panel = drape.panel
    return draw_layers(
        panel.spread,
        panel.triangles,
        panel.seam_pairs,
        panel.rim,
        drape.outer,
        drape.lining,
        thickness_outer_m=drape.outer_cloth.thickness_m,
        thickness_lining_m=drape.lining_cloth.thickness_m,
        rounds=rounds,
    )


def _under_cuffs(drape: Drape | Laid, outer: Sheet, covered_m: float) -> BoolArray | None:
    """Which triangles (t,) of the outer lie under a turned-back cuff; None without one."""
    if not covered_m:
        return None
    wrist_m = drape.panel.spread[drape.panel.edges["sleeve_end_left"], 0].max()
    covered = np.abs(outer.flat[:, 0]) > wrist_m - covered_m + CUFF_EDGE_M
    under: BoolArray = covered[outer.triangles].all(axis=1)
    return under


def put_layer(
    name: str,
    sheet: Sheet,
    cloth: Cloth,
    collection: bpy.types.Collection,
    strand_share: float,
    nap: tuple[float, float],
    seed: int,
    scale_length: float = 1.0,
    *,
    bald: BoolArray | None = None,
    supports: Sequence[Support] = (),
) -> None:
    """Put one sheet with its pile into ``collection``.

    ``strand_share`` thins the strands out; none grow on triangles (t,) that are ``bald``, and they lie
    flat on ``supports``.
    """
    inside = name.startswith(LINING)
    ground = put_mesh(
        name,
        sheet.positions,
        sheet.triangles,
        collection,
        flat=sheet.flat,
        normals=sheet.normals,
        print_place=place_of(cloth, sheet.flat, inside=inside),
        scale_length=scale_length,
    )
    material = ground_material(name, cloth.colour)
    set_print(material, print_image(name, cloth))
    ground.data.materials.append(material)
    if cloth.pile_height_m < LEAST_PILE_M:
        return
    style = pile_style(cloth.pile_height_m, cloth.name)
    # fewer strands are drawn thicker, so that they cover the ground alike
    thinned = replace(
        style,
        strands_per_m2=style.strands_per_m2 * strand_share,
        radius_m=style.radius_m / strand_share**0.5,
    )
    strands = grow(
        sheet if bald is None else replace(sheet, triangles=sheet.triangles[~bald]),
        thinned,
        pile_height_m=cloth.pile_height_m,
        thickness_m=cloth.thickness_m,
        nap=nap,
        seed=seed,
        supports=supports,
    )
    pile = put_curves(
        f"{name} pile",
        strands.points,
        strands.radii,
        strands.normals,
        collection,
        scale_length=scale_length,
    )
    pile.data.materials.append(
        pile_material(
            name,
            cloth.colour,
            root_shade=style.root_shade,
            softness=style.softness,
            sheen=style.sheen,
            velvet=style.velvet,
            printed=cloth.print is not None,
        )
    )
    if cloth.print is not None:
        colours = printed_at(cloth.print, cloth.colour, strands.flat, inside=inside)
        put_strand_colours(pile, *strand_colours(colours, style.root_shade))
