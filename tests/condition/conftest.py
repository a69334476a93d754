"""Exams of invented birds, drawn so that mass follows size and grade."""

import numpy as np
import pandas as pd
import pytest


@pytest.fixture
def make_exams():
    """Draw exams of one group; ``noise`` sets how closely mass follows size."""

    def draw(n=40, *, species="Buteo buteo", sex="F", noise=0.05, exponent=2.6, seed=1, **more):
        generator = np.random.default_rng(seed)
        log_size = np.log(76.0) + 0.045 * generator.normal(size=n)
        keel = np.clip(np.round(3 + generator.normal(size=n)), 1, 5)
        log_mass = np.log(950.0) + exponent * (log_size - np.log(76.0)) + 0.02 * (keel - 3)
        return pd.DataFrame(
            {
                "bird_id": [f"{sex}{seed}-{number}" for number in range(n)],
                "species": species,
                "sex": sex,
                "tarsus_mm": np.exp(log_size),
                "wing_mm": 5.1 * np.exp(log_size),
                "mass_g": np.exp(log_mass + noise * generator.normal(size=n)),
                "keel": keel,
                **more,
            }
        )

    return draw
