"""QR codes of addresses, for a phone that stands beside the screen."""

import io

import segno


def qr_svg(address: str) -> str:
    """An SVG of an address; error correction M, as printed codes usually have (ISO/IEC 18004)."""
    drawn = io.BytesIO()
    segno.make(address, error="m").save(
        drawn, kind="svg", scale=4, border=4, dark="#000000", light="#ffffff", xmldecl=False, svgns=True
    )
    return drawn.getvalue().decode()
