# SPDX-License-Identifier: GPL-3.0-or-later
"""What the maker prints, and the report, as pages for a browser."""

from dataclasses import replace
from pathlib import Path

import bpy
from bpy.app.translations import pgettext_rpt as translated
from bpy.props import StringProperty
from bpy.types import Context, Operator

from ...core.errors import NapfoldError
from ...core.files import slug
from .. import paper_work
from ..bench import in_view
from ..jobs import job_of
from .variants import idle, makes_a_job

__all__ = ["NAPFOLD_OT_report", "NAPFOLD_OT_sheets"]


class ToFolder(Operator):
    """Shared by what is written into a folder."""

    bl_options = {"REGISTER"}  # noqa: RUF012  (the form that Blender reads)

    directory: StringProperty(
        name="Folder", description="Where the pages go", subtype="DIR_PATH", options={"SKIP_SAVE"}
    )

    def invoke(self, context: Context, _event: object) -> set[str]:
        context.window_manager.fileselect_add(self)
        return {"RUNNING_MODAL"}

    def execute(self, context: Context) -> set[str]:
        folder = Path(bpy.path.abspath(self.directory)) / slug(context.scene.napfold.title)
        try:
            written = self.write(context, folder)
        except NapfoldError as error:
            self.report({"ERROR"}, str(error))
            return {"CANCELLED"}
        self.report({"INFO"}, translated("Open {} in a browser").format(written))
        return {"FINISHED"}


class NAPFOLD_OT_sheets(ToFolder):
    """Write cutting plan, sewing order and pattern of the numbers in the panel as pages to print"""

    bl_idname = "napfold.sheets"
    bl_label = "Write Sheets"

    @classmethod
    def poll(cls, context: Context) -> bool:
        return makes_a_job(cls, context)

    def write(self, context: Context, folder: Path) -> Path:
        return paper_work.write_sheets(replace(job_of(context.scene), variants=()), folder)


class NAPFOLD_OT_report(ToFolder):
    """Write what was measured on every wrap in view as one page"""

    bl_idname = "napfold.report"
    bl_label = "Write Report"

    @classmethod
    def poll(cls, context: Context) -> bool:
        if not idle(cls, context):
            return False
        if not any(figure.job_text for _, figure in in_view(context.scene)):
            cls.poll_message_set("Nothing is draped: press Drape first")
            return False
        return True

    def write(self, context: Context, folder: Path) -> Path:
        return paper_work.write_pages(context.scene, folder)


register, unregister = bpy.utils.register_classes_factory((NAPFOLD_OT_sheets, NAPFOLD_OT_report))
