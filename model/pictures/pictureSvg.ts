import { escaped } from "./overlaySvg.ts";
import type { Look, Picture, PictureMark } from "./picture.ts";

/** Ink on paper: black and greys alone. */
const inks: Readonly<Record<Look, string>> = {
  firm: 'fill="none" stroke="#111" stroke-width="2.2"',
  thin: 'fill="none" stroke="#111" stroke-width="1"',
  dashed: 'fill="none" stroke="#111" stroke-width="1.2" stroke-dasharray="7 4"',
  dotted: 'fill="none" stroke="#111" stroke-width="1.2" stroke-dasharray="2 3"',
  long: 'fill="none" stroke="#111" stroke-width="1.2" stroke-dasharray="12 4 2 4"',
  grid: 'fill="none" stroke="#ddd" stroke-width="1"',
  ground: 'fill="#e2e2e2" stroke="#777" stroke-width="0.6"',
  full: 'fill="#555" stroke="#111" stroke-width="0.8"',
  hollow: 'fill="#fff" stroke="#111" stroke-width="1.2"',
};

/** A picture as SVG text for the printed sheet. */
export function pictureSvg(picture: Picture): string {
  const { width, height, name, marks } = picture;
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" role="img" aria-label="${escaped(name)}" font-family="sans-serif" font-size="12" fill="#111">`,
    ...marks.map(markText),
    "</svg>",
  ].join("");
}

function markText(mark: PictureMark): string {
  if (mark.kind === "words") {
    const [x, y] = mark.at.map((v) => v.toFixed(1));
    const turned = mark.isUpright === true ? ` transform="rotate(-90 ${x} ${y})"` : "";
    const weight = mark.isFirm === true ? ' font-weight="700"' : "";
    return `<text x="${x}" y="${y}" text-anchor="${mark.anchor}"${turned}${weight} paint-order="stroke" stroke="#fff" stroke-width="3">${escaped(mark.text)}</text>`;
  }
  if (mark.kind === "dot")
    return `<circle cx="${mark.at[0].toFixed(1)}" cy="${mark.at[1].toFixed(1)}" r="${mark.radius}" ${inks[mark.look]}/>`;
  const points = pointsText(mark.points);
  const shape = mark.kind === "line" ? "polyline" : "polygon";
  return `<${shape} points="${points}" ${inks[mark.look]}/>`;
}

/** Points as SVG writes them. */
export function pointsText(points: Extract<PictureMark, { kind: "line" }>["points"]): string {
  return points.map(([x, y]) => `${x.toFixed(1)},${y.toFixed(1)}`).join(" ");
}
