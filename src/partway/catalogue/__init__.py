"""What we ship: grades, cautions, components and kinds as TOML, one loader and what files are held to."""

from partway.catalogue.checks.anatomy import check_anatomy, check_grades
from partway.catalogue.checks.findings import Finding, findings
from partway.catalogue.checks.hazards import hazards_in, hiding_sales
from partway.catalogue.reading.read import read_anatomies, read_grades
from partway.catalogue.shipped import Catalogue, kinds_in, shipped

__all__ = [
    "Catalogue",
    "Finding",
    "check_anatomy",
    "check_grades",
    "findings",
    "hazards_in",
    "hiding_sales",
    "kinds_in",
    "read_anatomies",
    "read_grades",
    "shipped",
]
