import type { Label } from "#model/answers/report/labelText.ts";
import { escaped } from "#model/pictures/overlaySvg.ts";

/** Eight to a page; each is cut along its lines, and reads the same in black and white. */
const style = `
:root { color-scheme: light; }
@page { margin: 10mm; }
* { box-sizing: border-box; }
body { margin: 0 auto; max-width: 190mm; background: #fff; color: #111; font: 10pt/1.25 system-ui, sans-serif; display: grid; grid-template-columns: 1fr 1fr; }
article { border: 0.2mm dashed #777; padding: 4mm; min-height: 62mm; break-inside: avoid; }
h1 { font-size: 17pt; line-height: 1.1; margin: 0 0 1.5mm; overflow-wrap: anywhere; }
p { margin: 0 0 1mm; overflow-wrap: anywhere; }
.size { font-size: 11pt; font-weight: 600; }
.state { border: 0.5mm solid #111; padding: 0.5mm 1.5mm; font-weight: 700; display: inline-block; text-transform: uppercase; }
.caution { font-size: 8.5pt; }
`;

/** Labels of jars as a page of its own that prints: no script, nothing fetched. */
export function labelsHtml(labels: readonly Label[]): string {
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width"><title>Labels</title><style>${style}</style></head><body>
${labels.map(labelHtml).join("\n")}
</body></html>
`;
}

function labelHtml({ lot, powder, size, days, state, caution }: Label): string {
  const line = (text: string, kind = "") =>
    text === "" ? "" : `<p${kind === "" ? "" : ` class="${kind}"`}>${escaped(text)}</p>`;
  return `<article><h1>${escaped(lot)}</h1>${line(powder)}${line(size, "size")}${line(days)}${line(state ?? "", "state")}${line(caution, "caution")}</article>`;
}
