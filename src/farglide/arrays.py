"""The kinds of arrays that farglide computes with, by what they hold."""

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
SingleArray = NDArray[np.float32]
IntArray = NDArray[np.int64]
ByteArray = NDArray[np.uint8]
BoolArray = NDArray[np.bool_]
