"""Mass, size and keel score: line fits, the scaled mass index, expected mass at each grade."""

from bodycond.condition.index_by_keel import IndexByKeel, tabulate_index_by_keel
from bodycond.condition.mass_by_keel import fit_mass_by_keel
from bodycond.condition.mass_by_keel_fit import MassByKeel
from bodycond.condition.mass_on_size import MassOnSize, collect_mass_on_size
from bodycond.condition.scaled_mass import fit_scaled_mass
from bodycond.condition.scaled_mass_fit import ScaledMassFit
from bodycond.statistics.lines import LineFit, fit_line

__all__ = [
    "IndexByKeel",
    "LineFit",
    "MassByKeel",
    "MassOnSize",
    "ScaledMassFit",
    "collect_mass_on_size",
    "fit_line",
    "fit_mass_by_keel",
    "fit_scaled_mass",
    "tabulate_index_by_keel",
]
