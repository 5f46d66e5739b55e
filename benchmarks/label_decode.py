"""Lot codes off a 12-megapixel photo, beside the bare reader on the same picture.

Ours begins with the bytes of the JPEG and ends with checked lot codes; the bare reader is given the
grey pixels and told to look for QR codes only, so the time to unpack the JPEG is ours alone. Once
with one label on the photo, once with twelve. Prints one line of JSON. Exits 1 if ours takes more
than twice the reader's own time, or reads fewer codes. The time until a photo without any code is
refused is printed beside it.
"""

from __future__ import annotations

import json
import sys
from io import BytesIO

import numpy as np
import pypdfium2
import zxingcpp
from best_of import best
from PIL import Image, ImageFilter

from pinset.chain.label_layouts import OFFERED
from pinset.chain.lotcode import encode
from pinset.files.label_photo import PhotoError, codes_on_photo
from pinset.paper.labels.sheet import labels_pdf
from pinset.paper.labels.words import Fact, LabelWords

SIZE = (4000, 3000)
FACTS = (Fact(("Grain jar, grey oyster",)), Fact(("generation 2, made 12 March 2026",)))
LIMITS = {"one_label": 2.0, "twelve_labels": 2.0}
LAYOUT = next(each for each in OFFERED if each.code == "a4-3x8")
ONLY_QR = zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.QRCode)


def photo(labels: int) -> bytes:
    """Return a photo of so many labels on an uneven ground, somewhat soft and noisy."""
    random = np.random.default_rng(1)
    ground = random.integers(90, 170, (75, 100), dtype=np.uint8)
    table = Image.fromarray(ground).resize(SIZE, Image.Resampling.BICUBIC)
    if labels:
        said = [LabelWords(f"{encode(i * 997)}/{i + 1}", FACTS) for i in range(labels)]
        with pypdfium2.PdfDocument(labels_pdf(said, LAYOUT)) as document:
            sheet = document[0].render(scale=250 / 72, grayscale=True).to_pil().convert("L")
        rows = -(-labels // LAYOUT.columns)
        high = (LAYOUT.top_mm + rows * LAYOUT.label_height_mm) / 297
        wide = min(labels, LAYOUT.columns) / LAYOUT.columns
        part = sheet.crop((0, 0, round(sheet.width * wide), round(sheet.height * high)))
        table.paste(part.rotate(8, expand=True, fillcolor=130), (500, 400))
    pixels = np.asarray(table.filter(ImageFilter.GaussianBlur(1.2)), float)
    noisy = np.clip(pixels + random.normal(0.0, 6.0, pixels.shape), 0, 255).astype(np.uint8)
    out = BytesIO()
    Image.fromarray(noisy).convert("RGB").save(out, "JPEG", quality=90)
    return out.getvalue()


def refused(data: bytes) -> bool:
    """Say whether a photo is refused."""
    try:
        codes_on_photo(data)
    except PhotoError:
        return True
    return False


def main() -> int:
    """Measure and print."""
    figures: dict[str, float] = {}
    fewer = []
    for name, labels in (("one_label", 1), ("twelve_labels", 12)):
        data = photo(labels)
        pixels = np.asarray(Image.open(BytesIO(data)).convert("L"))
        ours = best(lambda data=data: codes_on_photo(data))
        bare = best(lambda pixels=pixels: zxingcpp.read_barcodes(pixels, formats=ONLY_QR))
        read = len(codes_on_photo(data).codes)
        if read < len(zxingcpp.read_barcodes(pixels, formats=ONLY_QR)) or read < labels:
            fewer.append(name)
        figures |= {name: round(ours / bare, 2), f"{name}_ms": round(ours * 1e3)}
        figures[f"{name}_reader_ms"] = round(bare * 1e3)
    nothing = photo(0)
    assert refused(nothing)
    figures["without_a_code_ms"] = round(best(lambda: refused(nothing), 2) * 1e3)
    print(json.dumps({"benchmark": "label_decode", "megapixels": 12, **figures, "limits": LIMITS}))
    slow = [name for name, limit in LIMITS.items() if figures[name] > limit]
    if slow or fewer:
        print(f"beyond a limit: {slow}; fewer codes than the reader: {fewer}")
    return int(bool(slow or fewer))


if __name__ == "__main__":
    sys.exit(main())
