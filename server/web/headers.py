"""What every answer tells the browser: nothing but our own files runs, is framed, or is kept."""

from starlette.datastructures import MutableHeaders

CONTENT_POLICY = "; ".join(
    (
        "default-src 'self'",
        "img-src 'self' data: blob:",
        "object-src 'none'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
        "form-action 'self'",
    )
)
HEADERS = {
    "Content-Security-Policy": CONTENT_POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "no-store",
}
VARY = "HX-Request, HX-Request-Type"


def add_headers(headers: MutableHeaders) -> None:
    """What every answer carries, unless its handler said something else on purpose."""
    for name, value in HEADERS.items():
        headers.setdefault(name, value)
    if headers.get("content-type", "").startswith("text/html"):
        headers.add_vary_header(VARY)
