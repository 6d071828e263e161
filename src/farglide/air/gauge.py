"""Gauge: what an error in pressure is worth in height."""

import numpy as np

from farglide.air.layers import Layers
from farglide.arrays import FloatArray


def gauge_errors_m(layers: Layers, error_pa: float) -> FloatArray:
    """Return by how many metres a pressure gauge is off in the middle of each layer, (n_layers,).

    Valid: errors small against the pressure itself. Source: the hydrostatic law dp = - rho g dh, as
    in ISO 2533:1975, 2.4.
    """
    return np.asarray(error_pa / (layers.rho_kgpm3 * layers.gravity_mps2))
