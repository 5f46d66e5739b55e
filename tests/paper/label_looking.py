"""Labels as a camera or a scanner sees them: rasterised, blurred, tilted, torn, round a tube."""

from __future__ import annotations

from io import BytesIO
from math import asin, cos, pi, radians, sin

import numpy as np
import pypdfium2
import zxingcpp
from PIL import Image, ImageDraw, ImageFilter

from pinset.chain.label_layouts import LabelLayout
from pinset.chain.lotcode import encode
from pinset.paper.labels.drawing import LabelMarks
from pinset.paper.labels.words import Fact, LabelWords

INCH_MM = 25.4
TORN = 0.22  # of the side of the code
FACTS = (
    Fact(("Grain jar, grey oyster", "Grain, grey oyster"), is_strong=True),
    Fact(("generation 2, made 12 March 2026", "gen. 2, 12 Mar 2026", "G2, 12 Mar 26")),
    Fact(("from 3 plates 2CWF9 and MYGUA", "from 2CWF9, MYGUA")),
)
LONG_FACTS = (
    Fact(
        (
            "Sawdust spawn bag, blue-grey mountain oyster, winter strain",
            "Sawdust, blue-grey mountain oyster, winter strain",
        ),
        is_strong=True,
    ),
    Fact(
        (
            "generation 3, transfer 5, made 28 September 2026",
            "gen. 3, transfer 5, 28 Sep 2026",
            "G3, T5, 28 Sep 26",
        )
    ),
    Fact(
        (
            "from 12 grain jars 2CWF9, MYGUA and SBQRW",
            "from grain 2CWF9, MYGUA, SBQRW",
            "from 2CWF9, MYGUA, SBQRW",
        )
    ),
)


def labels(count: int, facts: tuple[Fact, ...] = FACTS) -> list[LabelWords]:
    """Return labels of lots that do not look alike, each of one unit."""
    return [LabelWords(f"{encode(i * 7919 + 5)}/{i % 60 + 1}", facts) for i in range(count)]


def pages(data: bytes, dpi: float) -> list[Image.Image]:
    """Return the pages of a PDF as grey pictures."""
    with pypdfium2.PdfDocument(data) as document:
        return [
            page.render(scale=dpi / 72, grayscale=True).to_pil().convert("L") for page in document
        ]


def cut_out(page: Image.Image, layout: LabelLayout, place: int, dpi: float) -> Image.Image:
    """Return one label of a page, by the arithmetic of its layout."""
    left, top = layout.corner(place)
    right, bottom = left + layout.label_width_mm, top + layout.label_height_mm
    box = (round(each * dpi / INCH_MM) for each in (left, top, right, bottom))
    return page.crop(tuple(box))  # type: ignore[arg-type]


def seen(picture: Image.Image) -> list[str]:
    """Return what the reader makes of a picture."""
    found = zxingcpp.read_barcodes(
        picture, formats=zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.QRCode)
    )
    return [each.text for each in found]


def blurred(picture: Image.Image, sigma_mm: float, dpi: float) -> Image.Image:
    """Return a picture out of focus."""
    return picture.filter(ImageFilter.GaussianBlur(sigma_mm * dpi / INCH_MM))


def torn(label: Image.Image, corner: int, leg_mm: float, dpi: float) -> Image.Image:
    """Return a label without a triangle at one of its corners; behind it is dark."""
    wide, high = label.size
    leg = leg_mm * dpi / INCH_MM
    x, y = (0 if corner % 2 == 0 else wide), (0 if corner < 2 else high)
    kept = label.copy()
    inward = (x + (leg if x == 0 else -leg), y), (x, y + (leg if y == 0 else -leg))
    ImageDraw.Draw(kept).polygon([(x, y), *inward], fill=70)
    return kept


def torn_code(
    label: Image.Image, marks: LabelMarks, dpi: float, share: float = TORN
) -> Image.Image:
    """Return a label whose QR code lacks a square at the corner without a finder."""
    side = marks.code.side * marks.module_mm
    right, bottom = marks.qr_x_mm + side, marks.qr_y_mm + side
    box = [right - share * side, bottom - share * side, right + 0.2, bottom + 0.2]
    kept = label.copy()
    ImageDraw.Draw(kept).rectangle([each * dpi / INCH_MM for each in box], fill=255)
    return kept


def tilted(
    picture: Image.Image, tilt_deg: float, turn_deg: float, lean_deg: float = 0.0
) -> Image.Image:
    """Return a flat picture seen at a slant: turned in its plane, then tilted about two axes."""
    wide, high = picture.size
    far = 4.0 * max(wide, high)
    a, b, c = radians(turn_deg), radians(tilt_deg), radians(lean_deg)
    turn = np.array([[cos(a), -sin(a), 0], [sin(a), cos(a), 0], [0, 0, 1]])
    tilt = np.array([[1, 0, 0], [0, cos(b), -sin(b)], [0, sin(b), cos(b)]])
    lean = np.array([[cos(c), 0, sin(c)], [0, 1, 0], [-sin(c), 0, cos(c)]])
    space = lean @ tilt @ turn
    corners = np.array([[0, 0], [wide, 0], [wide, high], [0, high]], float)
    flat = np.column_stack([corners - [wide / 2, high / 2], np.zeros(4)]) @ space.T
    shown = flat[:, :2] * (far / (far + flat[:, 2]))[:, None]
    shown -= shown.min(axis=0) - 12
    size = tuple(int(each) for each in np.ceil(shown.max(axis=0) + 12))
    return picture.transform(
        size, Image.Transform.PERSPECTIVE, _back(shown, corners), Image.Resampling.BICUBIC,
        fillcolor=140,
    )  # fmt: skip


def _back(shown: np.ndarray, source: np.ndarray) -> list[float]:
    """Return the eight numbers by which a place shown is found in its source."""
    rows, right = [], []
    for (x, y), (u, v) in zip(shown, source, strict=True):
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
        right += [u, v]
    return [float(each) for each in np.linalg.solve(np.array(rows), np.array(right))]


def round_tube(label: Image.Image, diameter_mm: float, dpi: float) -> Image.Image:
    """Return a label glued round a tube that lies across the view, seen from afar.

    A point at the arc s from the middle line is seen at r sin(s / r).
    """
    pixels = np.asarray(label)
    high, wide = pixels.shape
    radius = diameter_mm / 2 * dpi / INCH_MM
    half = min(high / 2, radius * pi / 2 * 0.98)
    seen_half = radius * sin(half / radius)
    y = np.arange(-int(seen_half), int(seen_half) + 1)
    arc = np.array([radius * asin(each / radius) for each in y]) + high / 2 - 0.5
    low = np.clip(np.floor(arc).astype(int), 0, high - 2)
    part = np.clip(arc - low, 0, 1)[:, None]
    shown = pixels[low] * (1 - part) + pixels[low + 1] * part
    edge = np.full((len(y) + 40, wide + 40), 120.0)
    edge[20:-20, 20:-20] = shown
    return Image.fromarray(edge.astype(np.uint8))


def as_photo(picture: Image.Image, seed: int, quality: int = 45) -> bytes:
    """Return a picture as a telephone stores it: uneven light, noise, JPEG."""
    draw = np.random.Generator(np.random.PCG64(seed))
    pixels = np.asarray(picture, float)
    high, wide = pixels.shape
    light = 0.75 + 0.25 * np.linspace(0, 1, wide)[None, :] * np.linspace(1, 0.8, high)[:, None]
    noisy = pixels * light + draw.normal(0.0, 8.0, pixels.shape)
    out = BytesIO()
    shown = Image.fromarray(np.clip(noisy, 0, 255).astype(np.uint8)).convert("RGB")
    shown.save(out, "JPEG", quality=quality)
    return out.getvalue()
