// What lies over what in each picture of the page, as the browser has laid it out.
function met(a, b) {
  return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
}
function inked(text) {  // the line of letters without the room above and below them
  const box = text.getBoundingClientRect(), trim = box.height * 0.17;
  return {left: box.left + 0.3, right: box.right - 0.3, top: box.top + trim,
          bottom: box.bottom - trim, said: text.textContent};
}
function onScreen(element, x, y) {
  const at = new DOMPoint(x, y).matrixTransform(element.getScreenCTM());
  return [at.x, at.y];
}
function piecesOf(element) {
  let points = [];
  if (element.tagName === "polyline") {
    points = [...element.points].map(p => onScreen(element, p.x, p.y));
  } else if (element.tagName === "rect") {
    const b = element.getBBox(), r = b.x + b.width, f = b.y + b.height;
    points = [[b.x, b.y], [r, b.y], [r, f], [b.x, f], [b.x, b.y]]
      .map(([x, y]) => onScreen(element, x, y));
  }
  return points.slice(1).map((end, i) => [points[i], end]);
}
function through([[x1, y1], [x2, y2]], box) {  // Liang and Barsky's clipping
  let from = 0, to = 1;
  const dx = x2 - x1, dy = y2 - y1;
  for (const [p, q] of [[-dx, x1 - box.left], [dx, box.right - x1],
                        [-dy, y1 - box.top], [dy, box.bottom - y1]]) {
    if (p === 0) { if (q <= 0) return false; continue; }
    const t = q / p;
    if (p < 0) from = Math.max(from, t); else to = Math.min(to, t);
  }
  return from < to;
}
function overlaps(picture) {
  const letters = [...picture.querySelectorAll("text")].map(inked), found = [];
  const frame = picture.getBoundingClientRect();
  letters.forEach((one, i) => {
    letters.slice(i + 1).filter(other => met(one, other))
      .forEach(other => found.push(`"${one.said}" over "${other.said}"`));
    if (one.left < frame.left - 1 || one.right > frame.right + 1 || one.bottom > frame.bottom + 1)
      found.push(`"${one.said}" out of the picture`);
  });
  for (const element of picture.querySelectorAll("polyline, rect"))
    for (const piece of piecesOf(element))
      letters.filter(one => through(piece, one))
        .forEach(one => found.push(`a ${element.getAttribute("class")} through "${one.said}"`));
  return found;
}
const report = [...document.querySelectorAll("svg.step-picture")].map(picture => ({
  name: picture.querySelector("title").textContent,
  key: picture.getAttribute("aria-labelledby"),
  overlaps: overlaps(picture),
  least: Math.min(...[...picture.querySelectorAll("text")].map(text =>
    parseFloat(text.getAttribute("font-size")) * Math.abs(text.getScreenCTM().a))),
  width: picture.getBoundingClientRect().width,
  height: picture.getBoundingClientRect().height,
}));
document.body.innerHTML = "";
document.body.appendChild(document.createElement("pre")).textContent =
  "REPORT" + JSON.stringify(report) + "END";
