"""How the docs are built: offline, from the sources in this folder and the docstrings."""

import shutil
from pathlib import Path

from pybtex.plugin import register_plugin
from pybtex.style.formatting.unsrt import Style as UnsrtStyle
from pybtex.style.labels import BaseLabelStyle
from pybtex.style.sorting.author_year_title import SortingStyle

import panelwright
from panelwright.jobs.check import check_text
from panelwright.jobs.predict import predict
from panelwright.materials.catalogue import Catalogue
from panelwright.panels.description import read
from panelwright.reports.drawing import (
    field_svg,
    key_svg,
    ledger_svg,
    polar_svg,
    section_sheet,
    standalone,
    through_svg,
)
from panelwright.working import formulas

HERE = Path(__file__).parent

project = "Panelwright"
author = "The Panelwright authors"
copyright = author
version = release = panelwright.__version__

extensions = [
    "myst_parser",
    "sphinx.ext.autodoc",
    "sphinx.ext.autosummary",
    "sphinx.ext.napoleon",
    "sphinxcontrib.bibtex",
]
exclude_patterns = ["_build", "_templates"]
templates_path = ["_templates"]

html_theme = "furo"
html_title = "Panelwright"
html_copy_source = False

myst_enable_extensions = ["deflist"]
myst_heading_anchors = 3

autodoc_member_order = "bysource"
# what a table class inherits is told by the library it comes from
autodoc_default_options = {"exclude-members": "metadata, registry"}
autodoc_type_aliases = {"ArrayLike": "ArrayLike", "Array": "Array"}
napoleon_google_docstring = False

# The pages of the modules are made from the modules that exist, each time anew, so that a module
# that was renamed leaves no page behind.
autosummary_ignore_module_all = False
autosummary_mock_imports = ["panelwright.__main__"]  # to import it would start the program
shutil.rmtree(HERE / "_generated", ignore_errors=True)

# The drawings of the docs are drawn by the project.
(HERE / "_generated").mkdir()
_example = predict(
    read((HERE.parent / "examples" / "tender-topside.toml").read_text("utf-8")), Catalogue.shipped()
)
(_duty,) = check_text(_example.text, Catalogue.shipped())
for _name, _svg in {
    "hatch_key": standalone(key_svg(680.0)),
    "section": section_sheet(_example, 680.0),
    "ledger": standalone(ledger_svg(_example, 680.0)),
    "polar": standalone(polar_svg(_example, 540.0)),
    "duty": standalone(field_svg(_duty, 540.0)),
    "through": standalone(through_svg(_duty, 420.0)),
}.items():
    (HERE / "_generated" / f"{_name}.svg").write_text(_svg, encoding="utf-8")


class KeyLabels(BaseLabelStyle):  # type: ignore[misc]
    """A document is called on the page as it is called in the program: by its key."""

    def format_labels(self, sorted_entries):  # type: ignore[no-untyped-def]
        return [entry.key for entry in sorted_entries]


class KeyOrder(SortingStyle):  # type: ignore[misc]
    """The list is read by key, so it is sorted by key."""

    def sorting_key(self, entry):  # type: ignore[no-untyped-def]
        return entry.key.lower()


class KeyStyle(UnsrtStyle):  # type: ignore[misc]
    default_label_style = KeyLabels
    default_sorting_style = KeyOrder


register_plugin("pybtex.style.formatting", "keys", KeyStyle)
bibtex_bibfiles = ["references.bib"]
bibtex_default_style = "keys"
bibtex_reference_style = "label"


def add_formula(app, what, name, obj, options, lines):  # type: ignore[no-untyped-def]
    """Print the registered equation, its source and its range below the docstring of a formula."""
    made_by = {formula.name: formula for formula in formulas()}.get(name.rsplit(".", 1)[-1])
    if what != "function" or made_by is None or not name.startswith("panelwright.mechanics."):
        return
    lines += ["", "::", "", f"    {made_by.equation}   [{made_by.unit}]", ""]
    lines += [f"    {meaning:<20} {argument}" for argument, meaning in made_by.inputs.items()]
    lines += ["", f"Source: {made_by.source}.", ""]
    if made_by.valid:
        lines += [f"Holds for: {made_by.valid}.", ""]


def setup(app):  # type: ignore[no-untyped-def]
    app.connect("autodoc-process-docstring", add_formula)
