#!/usr/bin/env bash
# Renders the first A4 page of the demo's brief into docs/images/brief.png. Needs chromium and pdftoppm.
set -euo pipefail
cd "$(dirname "$0")/.."
browser=${CHROMIUM:-/usr/bin/chromium}
for tool in "$browser" pdftoppm; do
  command -v "$tool" >/dev/null || { echo "render_brief.sh: $tool is not there; nothing rendered" >&2; exit 1; }
done
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
.venv/bin/farglide demo --out "$work" >/dev/null
# --no-sandbox: the page is our own and has no scripts from elsewhere; in a container the sandbox is missing
"$browser" --headless --no-sandbox --disable-gpu --no-pdf-header-footer --user-data-dir="$work/profile" \
  --print-to-pdf="$work/brief.pdf" "file://$work/brief.html" 2>/dev/null
pdftoppm -gray -f 1 -l 1 -singlefile -scale-to-x 1000 -scale-to-y -1 "$work/brief.pdf" "$work/brief"
mkdir -p docs/images
# Sixteen greys are enough for a brief made for a black-and-white printer, and halve the file.
.venv/bin/python - "$work/brief.pgm" docs/images/brief.png <<'PYTHON'
import struct
import sys
import zlib

_, size, _, pixels = open(sys.argv[1], "rb").read().split(b"\n", 3)
width, height = map(int, size.split())
rows = bytearray()
for y in range(height):
    greys = [round(grey / 17) for grey in pixels[y * width : (y + 1) * width]] + [0] * (width % 2)
    rows += b"\0" + bytes(a << 4 | b for a, b in zip(greys[::2], greys[1::2], strict=True))


def chunk(name: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))


head = struct.pack(">IIBBBBB", width, height, 4, 0, 0, 0, 0)
with open(sys.argv[2], "wb") as file:
    file.write(b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head))
    file.write(chunk(b"IDAT", zlib.compress(bytes(rows), 9)) + chunk(b"IEND", b""))
PYTHON
echo "docs/images/brief.png: $(stat -c %s docs/images/brief.png) bytes"
