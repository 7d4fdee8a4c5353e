# SPDX-License-Identifier: GPL-3.0-or-later
"""Materials: the mannequin, the ground of a cloth, its pile, the backdrop."""

import bpy
import numpy as np

from ...core.arrays import FloatArray
from ...core.picture_file import to_light
from ..compat import node_tree
from .bridge import PILE_NORMAL, PILE_ROOT, PILE_TIP, PRINT_PLACE

__all__ = [
    "backdrop_material",
    "furniture_material",
    "ground_material",
    "keep_from_lamps",
    "mannequin_material",
    "pile_material",
    "set_colour",
    "set_print",
    "strand_colours",
    "tile_material",
]

Colour = tuple[float, float, float]

MANNEQUIN_COLOUR: Colour = (0.75, 0.715, 0.67)
FURNITURE_COLOUR: Colour = (0.62, 0.63, 0.64)
GROUND_SHADE = 0.9
TIP_SHADE = 1.04
FIBRE_GAIN = 2.4
VELVET_DEEPER, VELVET_PALER = 0.55, 1.1
MODEL_SHEEN = 0.12
BACKDROP_CENTRE: Colour = (0.89, 0.88, 0.865)
BACKDROP_EDGE: Colour = (0.70, 0.69, 0.675)


def linear(colour: Colour) -> tuple[float, float, float, float]:
    """An sRGB colour (0 to 1) as the linear RGBA that shaders take (IEC 61966-2-1)."""
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in colour)
    return red, green, blue, 1.0


def _shade(colour: Colour, factor: float) -> Colour:
    red, green, blue = (min(1.0, channel * factor) for channel in colour)
    return red, green, blue


def _fibre(colour: Colour) -> tuple[float, float, float, float]:
    red, green, blue = (float(channel) for channel in _fibres(np.asarray(colour)))
    return red, green, blue, 1.0


def _fibres(colours: FloatArray) -> FloatArray:
    """Linear colours of fibres in a pile that shall look like these (sRGB).

    Light is lost between the strands, most where the colour is deep; the curve gives it back and
    keeps black black and white white.
    """
    light = to_light(colours)
    fibres: FloatArray = FIBRE_GAIN * light / (1.0 + (FIBRE_GAIN - 1.0) * light)
    return fibres


def strand_colours(colours: FloatArray, root_shade: float) -> tuple[FloatArray, FloatArray]:
    """Linear colours (n, 3) at root and tip of strands that shall look like ``colours`` (n, 3) sRGB."""
    root, tip = (_fibres(np.minimum(colours * shade, 1.0)) for shade in (root_shade, TIP_SHADE))
    return root, tip


def mannequin_material() -> bpy.types.Material:
    """A matt, faintly warm shop mannequin."""
    return _plain("Mannequin", MANNEQUIN_COLOUR, roughness=0.55)


def furniture_material() -> bpy.types.Material:
    """Plain upholstery of chair and bed, cooler than the mannequin."""
    return _plain("Upholstery", FURNITURE_COLOUR, roughness=0.9)


def backdrop_material(radius_m: float) -> bpy.types.Material:
    """A paper sweep lit on its own: palest behind the chest, deeper ``radius_m`` away.

    It shines instead of being lit, which costs no light rays.
    """
    material = bpy.data.materials.new("Backdrop")
    tree = node_tree(material)
    tree.nodes.clear()
    nodes, links = tree.nodes, tree.links
    place = nodes.new("ShaderNodeTexCoord")
    size = nodes.new("ShaderNodeVectorMath")
    size.operation = "SCALE"
    size.inputs["Scale"].default_value = 1.0 / radius_m
    links.new(place.outputs["Object"], size.inputs[0])
    gradient = nodes.new("ShaderNodeTexGradient")
    gradient.gradient_type = "SPHERICAL"
    links.new(size.outputs["Vector"], gradient.inputs["Vector"])
    ramp = nodes.new("ShaderNodeValToRGB")
    ramp.color_ramp.interpolation = "EASE"
    ramp.color_ramp.elements[0].color = linear(BACKDROP_EDGE)
    ramp.color_ramp.elements[1].color = linear(BACKDROP_CENTRE)
    links.new(gradient.outputs["Fac"], ramp.inputs["Fac"])
    shine = nodes.new("ShaderNodeEmission")
    links.new(ramp.outputs["Color"], shine.inputs["Color"])
    output = nodes.new("ShaderNodeOutputMaterial")
    links.new(shine.outputs["Emission"], output.inputs["Surface"])
    keep_from_lamps(material)
    return material


def keep_from_lamps(material: bpy.types.Material) -> None:
    """Have Cycles find what shines so only where a ray meets it.

    Aimed at like a lamp it would take samples from the lamps, and noise is left on what these light.
    """
    material.cycles.emission_sampling = "NONE"


def ground_material(name: str, colour: Colour) -> bpy.types.Material:
    """The knitted ground between the strands: darker, as little light reaches it."""
    return _plain(f"{name} ground", _shade(colour, GROUND_SHADE), roughness=1.0)


def set_colour(material: bpy.types.Material, colour: Colour) -> None:
    """Give a material made by `ground_material` another colour."""
    shader = next(node for node in node_tree(material).nodes if node.type == "BSDF_PRINCIPLED")
    shaded = linear(_shade(colour, GROUND_SHADE))
    shader.inputs["Base Color"].default_value = shaded
    material.diffuse_color = shaded


def _plain(name: str, colour: Colour, roughness: float) -> bpy.types.Material:
    material = bpy.data.materials.new(name)
    tree = node_tree(material)
    shader = next(node for node in tree.nodes if node.type == "BSDF_PRINCIPLED")
    shader.inputs["Base Color"].default_value = linear(colour)
    shader.inputs["Roughness"].default_value = roughness
    shader.inputs["Specular IOR Level"].default_value = 0.25
    material.diffuse_color = linear(colour)
    return material


def pile_material(
    name: str,
    colour: Colour,
    *,
    root_shade: float,
    softness: float,
    sheen: float,
    velvet: float = 0.0,
    printed: bool = False,
) -> bpy.types.Material:
    """Strands: deeper at the root, paler at the tip, no two quite alike.

    ``root_shade``, ``softness``, ``sheen`` and ``velvet`` are those of a `PileStyle`; where it is ``printed``,
    every strand has colours of its own, see `put_strand_colours`.
    """
    material = bpy.data.materials.new(f"{name} pile")
    material.diffuse_color = linear(colour)
    tree = node_tree(material)
    tree.nodes.clear()
    nodes, links = tree.nodes, tree.links
    strand = nodes.new("ShaderNodeHairInfo")
    ramp = nodes.new("ShaderNodeValToRGB")
    ramp.color_ramp.elements[1].position = 0.8
    links.new(strand.outputs["Intercept"], ramp.inputs["Fac"])
    if printed:
        along = _own_colours(tree, ramp.outputs["Color"])
    else:
        ramp.color_ramp.elements[0].color = _fibre(_shade(colour, root_shade))
        ramp.color_ramp.elements[1].color = _fibre(_shade(colour, TIP_SHADE))
        along = ramp.outputs["Color"]
    vary = nodes.new("ShaderNodeMapRange")
    vary.inputs["To Min"].default_value = 0.93
    vary.inputs["To Max"].default_value = 1.07
    links.new(strand.outputs["Random"], vary.inputs["Value"])
    tint = nodes.new("ShaderNodeHueSaturation")
    links.new(vary.outputs["Result"], tint.inputs["Value"])
    links.new(along, tint.inputs["Color"])
    soft = _soft_normal(tree, softness)
    coloured = tint.outputs["Color"]
    if velvet:
        coloured = _deeper_from_above(tree, coloured, soft, velvet)
    shader = nodes.new("ShaderNodeBsdfPrincipled")
    shader.inputs["Roughness"].default_value = 0.7
    shader.inputs["Specular IOR Level"].default_value = 0.15
    shader.inputs["Sheen Weight"].default_value = sheen
    shader.inputs["Sheen Roughness"].default_value = 0.4
    links.new(coloured, shader.inputs["Base Color"])
    links.new(soft, shader.inputs["Normal"])
    output = nodes.new("ShaderNodeOutputMaterial")
    links.new(shader.outputs["BSDF"], output.inputs["Surface"])
    return material


def tile_material(
    name: str,
    colour: bpy.types.Image,
    normals: bpy.types.Image,
    *,
    least_height: float = 0.0,
) -> bpy.types.Material:
    """Pile as pictures; where its height, in the alpha of ``colour``, is less than asked it is cut out.

    Nodes as exporters know them: a threshold is written as one below the height, taken from one.
    """
    material = bpy.data.materials.new(name)
    tree = node_tree(material)
    nodes, links = tree.nodes, tree.links
    shader = next(node for node in nodes if node.type == "BSDF_PRINCIPLED")
    shader.inputs["Roughness"].default_value = 1.0
    shader.inputs["Specular IOR Level"].default_value = 0.25
    # exporters know the sheen's colour, not its weight
    shader.inputs["Sheen Weight"].default_value = 1.0
    shader.inputs["Sheen Tint"].default_value = (*(MODEL_SHEEN,) * 3, 1.0)
    shader.inputs["Sheen Roughness"].default_value = 0.4
    painted = nodes.new("ShaderNodeTexImage")
    painted.image = colour
    links.new(painted.outputs["Color"], shader.inputs["Base Color"])
    if least_height > 0.0:
        below, kept = (nodes.new("ShaderNodeMath") for _ in range(2))
        below.operation, kept.operation = "LESS_THAN", "SUBTRACT"
        below.inputs[1].default_value = least_height
        kept.inputs[0].default_value = 1.0
        links.new(painted.outputs["Alpha"], below.inputs[0])
        links.new(below.outputs["Value"], kept.inputs[1])
        links.new(kept.outputs["Value"], shader.inputs["Alpha"])
    sloped = nodes.new("ShaderNodeTexImage")
    sloped.image = normals
    slopes = nodes.new("ShaderNodeNormalMap")
    links.new(sloped.outputs["Color"], slopes.inputs["Color"])
    links.new(slopes.outputs["Normal"], shader.inputs["Normal"])
    return material


def _deeper_from_above(
    tree: bpy.types.NodeTree,
    colour: bpy.types.NodeSocket,
    normal: bpy.types.NodeSocket,
    velvet: float,
) -> bpy.types.NodeSocket:
    """A colour that is deeper where the surface faces the eye: one looks between upright strands."""
    nodes, links = tree.nodes, tree.links
    facing = nodes.new("ShaderNodeLayerWeight")
    facing.inputs["Blend"].default_value = 0.5
    links.new(normal, facing.inputs["Normal"])
    bright = nodes.new("ShaderNodeMapRange")
    bright.inputs["To Min"].default_value = 1.0 - VELVET_DEEPER * velvet
    bright.inputs["To Max"].default_value = 1.0 + VELVET_PALER * velvet
    links.new(facing.outputs["Facing"], bright.inputs["Value"])
    shaded = nodes.new("ShaderNodeHueSaturation")
    links.new(bright.outputs["Result"], shaded.inputs["Value"])
    links.new(colour, shaded.inputs["Color"])
    return shaded.outputs["Color"]


def _own_colours(tree: bpy.types.NodeTree, share: bpy.types.NodeSocket) -> bpy.types.NodeSocket:
    """The colours of each strand, from root to tip by a share."""
    nodes, links = tree.nodes, tree.links
    mixed = nodes.new("ShaderNodeMix")
    mixed.data_type = "RGBA"
    links.new(share, next(one for one in mixed.inputs if one.enabled and one.type == "VALUE"))
    ends = [one for one in mixed.inputs if one.enabled and one.type == "RGBA"]
    for name, end in zip((PILE_ROOT, PILE_TIP), ends, strict=True):
        own = nodes.new("ShaderNodeAttribute")
        own.attribute_name = name
        links.new(own.outputs["Color"], end)
    return next(one for one in mixed.outputs if one.enabled and one.type == "RGBA")


def set_print(material: bpy.types.Material, image: bpy.types.Image | None) -> None:
    """Give a material made by `ground_material` a picture in place of its colour, or take it away."""
    tree = node_tree(material)
    shader = next(node for node in tree.nodes if node.type == "BSDF_PRINCIPLED")
    for node in [node for node in tree.nodes if node.type in ("TEX_IMAGE", "UVMAP")]:
        tree.nodes.remove(node)
    if image is None:
        return
    place = tree.nodes.new("ShaderNodeUVMap")
    place.uv_map = PRINT_PLACE
    painted = tree.nodes.new("ShaderNodeTexImage")
    painted.image = image
    tree.links.new(place.outputs["UV"], painted.inputs["Vector"])
    tree.links.new(painted.outputs["Color"], shader.inputs["Base Color"])
    tree.nodes.active = painted  # what solid shading shows as the texture


def _soft_normal(tree: bpy.types.NodeTree, softness: float) -> bpy.types.NodeSocket:
    """Strand normals turned towards that of the pile surface: a pile scatters light as one soft surface."""
    nodes, links = tree.nodes, tree.links
    surface = nodes.new("ShaderNodeAttribute")
    surface.attribute_name = PILE_NORMAL
    own = nodes.new("ShaderNodeNewGeometry")
    mixed = nodes.new("ShaderNodeMix")
    mixed.data_type = "VECTOR"
    mixed.inputs[0].default_value = softness
    a, b = (socket for socket in mixed.inputs if socket.type == "VECTOR" and socket.enabled)
    links.new(own.outputs["Normal"], a)
    links.new(surface.outputs["Vector"], b)
    length = nodes.new("ShaderNodeVectorMath")
    length.operation = "NORMALIZE"
    links.new(next(socket for socket in mixed.outputs if socket.type == "VECTOR"), length.inputs[0])
    return length.outputs["Vector"]
