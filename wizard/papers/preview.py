"""Papers as pictures for a screen: pages of a PDF, and a DXF drawn as SVG."""

from __future__ import annotations

import io
import logging

import numpy as np
from numpy.typing import NDArray

Picture = NDArray[np.uint8]
DOTS = 110.0  # to the inch


def page_count(pdf: bytes) -> int:
    """How many pages a PDF has."""
    import pypdfium2

    with pypdfium2.PdfDocument(pdf) as document:
        return len(document)


def page_picture(pdf: bytes, page: int, *, dots: float = DOTS) -> Picture:
    """One page as a picture, shape (high, wide, 3).

    Args:
        pdf: The paper. page: From 0. dots: To the inch.
    """
    import pypdfium2

    with pypdfium2.PdfDocument(pdf) as document:
        drawn = document[page].render(scale=dots / 72, rev_byteorder=True)
        return np.ascontiguousarray(drawn.to_numpy())


def drawn(dxf: bytes) -> str:
    """A DXF as SVG, black on white, as wide as its place."""
    import ezdxf.recover
    from ezdxf.addons.drawing import layout, svg
    from ezdxf.addons.drawing.config import BackgroundPolicy, ColorPolicy, Configuration
    from ezdxf.addons.drawing.frontend import Frontend
    from ezdxf.addons.drawing.properties import RenderContext

    logging.getLogger("ezdxf").setLevel(logging.ERROR)
    document, _ = ezdxf.recover.read(io.BytesIO(dxf))
    backend = svg.SVGBackend()
    how = Configuration(background_policy=BackgroundPolicy.WHITE, color_policy=ColorPolicy.BLACK)
    Frontend(RenderContext(document), backend, config=how).draw_layout(document.modelspace())
    text = backend.get_string(layout.Page(0, 0, layout.Units.mm))
    return str(text[text.index("<svg") :])
