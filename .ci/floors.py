"""Print each dependency's lowest allowed version as a pip constraint, from pyproject.toml."""

import re
import tomllib
from pathlib import Path

project = tomllib.loads(Path("pyproject.toml").read_text(encoding="utf-8"))["project"]
extras = project["optional-dependencies"]
for requirement in [*project["dependencies"], *extras["notebooks"], *extras["test"]]:
    parts = re.fullmatch(r"([A-Za-z0-9._-]+)(?:\[[^]]*\])?>=([0-9.]+)", requirement)
    if parts:
        print(f"{parts[1]}=={parts[2]}")
