"""The manifest: inputs with their hashes, versions, settings, and every file that was written."""

from __future__ import annotations

import json
import platform
import sys
from collections.abc import Sequence
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any

from bodycond.tables_on_disk import hash_file, write_json

MANIFEST_VERSION = 1

_PACKAGES = (
    "bodycond", "numpy", "pandas", "scipy", "statsmodels", "matplotlib", "pandera", "pyarrow",
    "openpyxl", "python-calamine", "ruamel.yaml", "jinja2",
)  # fmt: skip


def list_versions() -> dict[str, str]:
    """Give the versions of Python, the platform and every package that touched the numbers.

    Returns
    -------
    dict of str to str
        Names and versions; "not installed" where a package has no metadata.
    """
    versions = {
        "python": platform.python_version(),
        "platform": f"{sys.platform}, {platform.machine()}",
    }
    for name in _PACKAGES:
        try:
            versions[name] = version(name)
        except PackageNotFoundError:
            versions[name] = "not installed"
    return versions


def read_earlier_outputs(folder: Path) -> dict[str, str]:
    """Read what an earlier study wrote to the same folder.

    Parameters
    ----------
    folder : Path
        The study's folder.

    Returns
    -------
    dict of str to str
        SHA-256 by path inside the folder; empty where there is no manifest that can be read.
    """
    try:
        manifest = json.loads((folder / "manifest.json").read_text(encoding="utf-8"))
        return {str(entry["file"]): str(entry["sha256"]) for entry in manifest["outputs"]}
    except (OSError, ValueError, KeyError, TypeError):
        # No manifest, or a file of that name that is none of ours: nothing is known.
        return {}


def write_manifest(
    folder: Path,
    *,
    inputs: Sequence[tuple[str, str]],
    recipe: Path | None,
    settings: dict[str, Any],
    outputs: Sequence[Path],
) -> Path:
    """Write ``manifest.json``.

    It holds no clock time, so that two runs of one study can be compared byte for byte.

    Parameters
    ----------
    folder : Path
        The study's folder.
    inputs : sequence of (str, str)
        Name and SHA-256 of each input file.
    recipe : Path or None
        The recipe used, given or drafted.
    settings : dict
        Settings of the study, the seed among them.
    outputs : sequence of Path
        Every file written.

    Returns
    -------
    Path
        The manifest.
    """
    target = folder / "manifest.json"
    write_json(
        target,
        {
            "manifest_version": MANIFEST_VERSION,
            "inputs": [{"file": name, "sha256": digest} for name, digest in inputs],
            "recipe": None
            if recipe is None
            else {"file": recipe.name, "sha256": hash_file(recipe)},
            "settings": settings,
            "versions": list_versions(),
            "outputs": [
                {
                    "file": path.relative_to(folder).as_posix(),
                    "bytes": path.stat().st_size,
                    "sha256": hash_file(path),
                }
                for path in sorted(outputs, key=lambda path: path.as_posix())
            ],
        },
    )
    return target
