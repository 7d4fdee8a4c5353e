# SPDX-License-Identifier: GPL-3.0-or-later
import bpy

preset = bpy.context.scene.napfold.wearer

preset.sex = "female"
preset.height_words = "160 cm"
preset.bust_girth_words = "128 cm"
preset.waist_girth_words = "112 cm"
preset.hip_girth_words = "132 cm"
preset.upper_arm_girth_words = ""
preset.back_neck_point_to_wrist_words = ""
