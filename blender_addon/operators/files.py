# SPDX-License-Identifier: GPL-3.0-or-later
"""Job files: opened, also when they are dragged into the window, and saved."""

from pathlib import Path

import bpy
from bpy.app.translations import pgettext_rpt as translated
from bpy.props import StringProperty
from bpy.types import Context, FileHandler, Operator

from ...core.errors import NapfoldError
from ...core.files import slug
from .. import bench
from ..figures import home_of
from ..jobs import open_job, save_scene_job
from .variants import idle, makes_a_job

__all__ = ["NAPFOLD_FH_job", "NAPFOLD_OT_job_open", "NAPFOLD_OT_job_save"]

SUFFIX = ".toml"


def file_path() -> object:
    return StringProperty(
        name="File", description="The job file", subtype="FILE_PATH", options={"SKIP_SAVE"}
    )


def file_filter() -> object:
    return StringProperty(
        name="Filter", description="Which files are shown", default=f"*{SUFFIX}", options={"HIDDEN"}
    )


class NAPFOLD_OT_job_open(Operator):
    """Set the panel to a job file; its variants come into the list, to be draped"""

    bl_idname = "napfold.job_open"
    bl_label = "Open Job"
    bl_options = {"REGISTER", "UNDO"}  # noqa: RUF012  (the form that Blender reads)

    filepath: file_path()
    filter_glob: file_filter()

    @classmethod
    def poll(cls, context: Context) -> bool:
        return idle(cls, context)

    def invoke(self, context: Context, _event: object) -> set[str]:
        if self.filepath:  # dragged into the window
            return self.execute(context)
        context.window_manager.fileselect_add(self)
        return {"RUNNING_MODAL"}

    def execute(self, context: Context) -> set[str]:
        scene = context.scene
        try:
            job = open_job(scene, Path(bpy.path.abspath(self.filepath)))
        except NapfoldError as error:
            self.report({"ERROR"}, str(error))
            return {"CANCELLED"}
        home_of(scene, make=True)
        bench.show(scene)
        told = translated("{}, variants to drape: {}").format(job.name, len(job.variants))
        self.report({"INFO"}, told)
        return {"FINISHED"}


class NAPFOLD_OT_job_save(Operator):
    """Write the numbers in the panel and the variants as a job file"""

    bl_idname = "napfold.job_save"
    bl_label = "Save Job"
    bl_options = {"REGISTER"}  # noqa: RUF012

    filepath: file_path()
    filter_glob: file_filter()

    @classmethod
    def poll(cls, context: Context) -> bool:
        return makes_a_job(cls, context)

    def invoke(self, context: Context, _event: object) -> set[str]:
        name = slug(context.scene.napfold.title).replace("-", "_")
        self.filepath = self.filepath or f"{name}{SUFFIX}"
        context.window_manager.fileselect_add(self)
        return {"RUNNING_MODAL"}

    def execute(self, context: Context) -> set[str]:
        path = Path(bpy.path.abspath(bpy.path.ensure_ext(self.filepath, SUFFIX)))
        try:
            save_scene_job(context.scene, path)
        except NapfoldError as error:
            self.report({"ERROR"}, str(error))
            return {"CANCELLED"}
        self.report({"INFO"}, translated("Saved {}").format(path.name))
        return {"FINISHED"}


class NAPFOLD_FH_job(FileHandler):
    """Takes job files that are dragged into a 3D view."""

    bl_idname = "NAPFOLD_FH_job"
    bl_label = "Napfold Job"
    bl_import_operator = NAPFOLD_OT_job_open.bl_idname
    bl_file_extensions = SUFFIX

    @classmethod
    def poll_drop(cls, context: Context) -> bool:
        return context.area is not None and context.area.type == "VIEW_3D"


register, unregister = bpy.utils.register_classes_factory(
    (NAPFOLD_OT_job_open, NAPFOLD_OT_job_save, NAPFOLD_FH_job)
)
