# SPDX-License-Identifier: GPL-3.0-or-later
"""A drape as a Blender scene: meshes, pile, materials, studio."""
