// Lays out each frame and writes, as JSON, what its labels, curves and words take up.
const HIGH = 0.72; // of capitals and figures over the baseline, in em
const DEEP = 0.2; // of letters that reach below it
const SLACK = 0.5; // px that two boxes may share before they count as touching

const inked = (text) => {
  const em = parseFloat(getComputedStyle(text).fontSize);
  const box = text.getBBox();
  const y = text.getStartPositionOfChar(0).y;
  const deep = /[gjpqy,;()|]/.test(text.textContent) ? DEEP * em : 0;
  const at = text.getScreenCTM();
  const corners = [
    [box.x, y - HIGH * em], [box.x + box.width, y - HIGH * em],
    [box.x, y + deep], [box.x + box.width, y + deep],
  ].map(([a, b]) => [at.a * a + at.c * b + at.e, at.b * a + at.d * b + at.f]);
  const xs = corners.map((c) => c[0]);
  const ys = corners.map((c) => c[1]);
  return {
    words: text.textContent, px: em * Math.hypot(at.a, at.b),
    left: Math.min(...xs), right: Math.max(...xs), top: Math.min(...ys), bottom: Math.max(...ys),
  };
};

const touch = (a, b) =>
  Math.min(a.right, b.right) - Math.max(a.left, b.left) > SLACK &&
  Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > SLACK;

const points = (curve) => {
  const at = curve.getScreenCTM();
  const length = curve.getTotalLength();
  const n = Math.max(1, Math.ceil(length / 2));
  return Array.from({ length: n + 1 }, (_, i) => {
    const p = curve.getPointAtLength((length * i) / n);
    return [at.a * p.x + at.c * p.y + at.e, at.b * p.x + at.d * p.y + at.f];
  });
};

const within = (box, x, y) =>
  x > box.left + SLACK && x < box.right - SLACK && y > box.top + SLACK && y < box.bottom - SLACK;

// Whether a point of a curve is drawn: inside the frame that clips it, if one does.
const shown = (svg, curve) => {
  const clipped = curve.closest("[clip-path]");
  const id = clipped && clipped.getAttribute("clip-path").match(/#([^)]+)/)[1];
  const frame = id && svg.querySelector(`[id="${id}"] rect`);
  if (!frame) return () => true;
  const at = svg.getScreenCTM();
  const [x, y, w, h] = ["x", "y", "width", "height"].map((k) => frame[k].baseVal.value);
  const box = {
    left: at.a * x + at.e, right: at.a * (x + w) + at.e,
    top: at.d * y + at.f, bottom: at.d * (y + h) + at.f,
  };
  return ([px, py]) => within(box, px, py);
};

const picture = (svg) => {
  const labels = [...svg.querySelectorAll("text")]
    .filter((t) => t.textContent.trim()).map(inked);
  const frame = svg.getBoundingClientRect();
  const clashes = [];
  labels.forEach((a, i) => labels.slice(i + 1).forEach((b) => {
    if (touch(a, b)) clashes.push([a.words, b.words]);
  }));
  const crossed = [];
  for (const curve of svg.querySelectorAll("[data-curve],[data-burst],[data-frame=window]")) {
    const line = points(curve).filter(shown(svg, curve));
    for (const l of labels) {
      if (line.some(([x, y]) => within(l, x, y))) {
        crossed.push([l.words, { ...curve.dataset }]);
      }
    }
  }
  for (const bar of svg.querySelectorAll("[data-state],rect.f-link,rect.s-mark")) {
    const box = bar.getBoundingClientRect();
    for (const l of labels) if (touch(l, box)) crossed.push([l.words, "a bar"]);
  }
  const outside = labels.filter((l) =>
    l.left < frame.left - 1 || l.right > frame.right + 1 ||
    l.top < frame.top - 1 || l.bottom > frame.bottom + 1).map((l) => l.words);
  return {
    name: (svg.closest("[data-picture]") || svg.closest("[id]") || svg).dataset.picture ||
      (svg.closest("[id]") || svg).id,
    words: labels.map((l) => l.words), px: Math.min(...labels.map((l) => l.px), 99),
    wide: frame.width, high: frame.height, clashes, crossed, outside,
  };
};

const typed = (doc) => {
  const found = [];
  const walk = doc.createTreeWalker(doc.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const parent = walk.currentNode.parentElement;
    const words = walk.currentNode.textContent.trim();
    if (words && parent.checkVisibility() && !parent.closest("svg")) {
      const sheet = parent.closest(".sheet");
      found.push([parseFloat(getComputedStyle(parent).fontSize), words, sheet ? sheet.id : ""]);
    }
  }
  return found;
};

const measure = (frame) => {
  const doc = frame.contentDocument;
  const width = doc.documentElement.clientWidth;
  const shown = [...doc.querySelectorAll("svg[role=img]")].filter((s) => s.checkVisibility());
  const wide = [...doc.querySelectorAll("main *")].filter((e) =>
    !e.closest("svg") && e.checkVisibility() && e.getBoundingClientRect().right > width + 1);
  const hidden = [...doc.querySelectorAll(".scroll")]
    .filter((e) => e.checkVisibility() && e.scrollWidth > e.clientWidth + 1);
  const say = doc.getElementById("say");
  return {
    pictures: shown.map(picture), types: typed(doc),
    wide: wide.map((e) => `${e.tagName} ${e.className} ${e.textContent.slice(0, 40)}`),
    hidden: hidden.map((e) => e.getAttribute("aria-label")),
    answer_lines: say ? Math.round(say.getBoundingClientRect().height /
      parseFloat(getComputedStyle(say).lineHeight)) : 0,
    card_high: doc.getElementById("card").getBoundingClientRect().height,
  };
};

window.addEventListener("load", async () => {
  const found = {};
  for (const frame of document.querySelectorAll("iframe")) {
    await frame.contentDocument.fonts.ready;
    found[frame.dataset.key] = measure(frame);
  }
  document.querySelector("pre").textContent = JSON.stringify(found);
});
