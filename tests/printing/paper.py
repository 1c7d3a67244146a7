"""Looking at what was printed, with programs that are not ours: poppler, zbar, pypdf, pillow."""

from __future__ import annotations

import io
import shutil
import subprocess
import unicodedata

import pytest
from PIL import Image, ImageChops
from pypdf import PdfReader

from steepboard.printing.fonts import fonts_for

MM_PER_INCH = 25.4


def needs(*programs):
    """Skip where a program is missing; CI has them all."""
    for program in programs:
        if shutil.which(program) is None:
            pytest.skip(f"{program} is not installed")


def needs_dejavu():
    """Skip where no font beyond Latin-1 is installed; CI has one."""
    try:
        fonts_for(["Ž"], "")
    except ValueError:
        pytest.skip("fonts-dejavu-core is not installed")


def picture(pdf, page=1, dpi=150):
    """Return a page as it looks, in greys."""
    needs("pdftoppm")
    ask = ["pdftoppm", "-r", str(dpi), "-gray", "-f", str(page), "-l", str(page), "-"]
    done = subprocess.run(ask, input=pdf, capture_output=True, check=True)
    return Image.open(io.BytesIO(done.stdout)).convert("L")


def part(image, box, dpi=150, grow_mm=0.0):
    """Return what lies in a box of mm, grown by so much on every side."""
    scale = dpi / MM_PER_INCH
    left, top = (box.x - grow_mm) * scale, (box.y - grow_mm) * scale
    right = (box.x + box.width + grow_mm) * scale
    bottom = (box.y + box.height + grow_mm) * scale
    return image.crop(tuple(round(edge) for edge in (left, top, right, bottom)))


def ink(image, darker_than=110):
    """Return where ink is, as left, top, right, bottom in pixels, or None; hairlines are grey."""
    return image.point(lambda value: 255 if value < darker_than else 0).getbbox()


def ink_mm(image, dpi=150):
    """Return the ink's place in mm."""
    return tuple(edge * MM_PER_INCH / dpi for edge in ink(image))


def without(image, box, dpi=150):
    """Return a picture in which a box of mm is wiped out."""
    scale = dpi / MM_PER_INCH
    wiped = image.copy()
    corners = (box.x, box.y, box.x + box.width, box.y + box.height)
    wiped.paste(255, tuple(round(edge * scale) for edge in corners))
    return wiped


def words(pdf, box=None, page=1):
    """Return the text of a page, or of a box of mm on it, by poppler, with single spaces."""
    needs("pdftotext")
    ask = ["pdftotext", "-r", "720", "-f", str(page), "-l", str(page)]
    if box:
        dots = 720 / MM_PER_INCH
        for flag, mm in (("-x", box.x), ("-y", box.y), ("-W", box.width), ("-H", box.height)):
            ask += [flag, str(round(mm * dots))]
    done = subprocess.run([*ask, "-", "-"], input=pdf, capture_output=True, check=True)
    return " ".join(unicodedata.normalize("NFC", done.stdout.decode("utf-8")).split())


def all_words(pdf):
    """Return the text of all pages."""
    return " ".join(words(pdf, page=number + 1) for number in range(len(reader(pdf).pages)))


def codes(image):
    """Return what the square codes in a picture say, read by zbar."""
    needs("zbarimg")
    held = io.BytesIO()
    image.save(held, "PNG")
    ask = ["zbarimg", "--quiet", "--raw", "-Sdisable", "-Sqrcode.enable", "PNG:-"]
    done = subprocess.run(ask, input=held.getvalue(), capture_output=True, check=False)
    return sorted(done.stdout.decode("utf-8").split())


def reader(pdf):
    return PdfReader(io.BytesIO(pdf))


def sizes(pdf):
    """Return each piece of text of the first page with the size in pt that it is set in."""
    found = []

    def see(text, _cm, _tm, _font, size):
        if text.strip():
            found.append((text.strip(), size))

    reader(pdf).pages[0].extract_text(visitor_text=see)
    return found


def differ(one, other):
    return ImageChops.difference(one, other).getbbox() is not None
