"""What is read out of a PNG, for the tests of all charts."""

from io import BytesIO

import numpy as np
from PIL import Image

from farglide.arrays import ByteArray


def greys(data: bytes) -> ByteArray:
    """Return the greys of a PNG, rows from the top."""
    with Image.open(BytesIO(data)) as image:
        assert image.format == "PNG"
        return np.array(image.convert("L"))
