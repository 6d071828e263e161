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
import sys

from PIL import Image

Image.open(sys.argv[1]).quantize(16).save(sys.argv[2], optimize=True)
PYTHON
echo "docs/images/brief.png: $(stat -c %s docs/images/brief.png) bytes"
