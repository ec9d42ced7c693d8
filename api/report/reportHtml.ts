import type { Bodies } from "#api/records/kinds.ts";
import { logoType } from "#api/records/logo.ts";
import type { Report, ReportTable } from "#model/answers/report/report.ts";
import { escaped } from "#model/pictures/overlaySvg.ts";

/** What the server adds: where the numbers come from. */
export interface Provenance {
  readonly hash: string;
  readonly version: string;
  readonly report: string;
  /** The day the lot was kept, as 2026-11-25. */
  readonly keptOn: string;
  /** The picture that heads it, its bytes in base64. */
  readonly logo?: Bodies["logo"] | null;
}

/** Print is always light and reads the same in black and white; A4 and Letter alike, since only margins are fixed. */
const style = `
:root { color-scheme: light; }
@page { margin: 6mm 13mm; }
* { box-sizing: border-box; }
body { max-width: 180mm; margin: 8mm auto; padding: 0 4mm; background: #fff; color: #111; font: 8.5pt/1.21 system-ui, sans-serif; }
h1 { font-size: 15pt; margin: 0; }
h2 { font-size: 9.5pt; margin: 1.3mm 0 0.3mm; break-after: avoid; }
p { margin: 0.5mm 0; }
.verdict { font-size: 10pt; margin: 1mm 0; }
.full .verdict { font-size: 9pt; }
.full h2 { font-size: 9pt; margin-top: 1mm; }
.full tbody th { max-width: 50mm; }
.full section:nth-of-type(2) tbody th { max-width: 23mm; }
.full thead th { max-width: 26mm; }
.full section:nth-of-type(-n+3) thead th { max-width: 20mm; }
.full .notes { font-size: 6.8pt; }
.foot { font-size: 7pt; margin: 0.3mm 0; max-width: 62mm; }
.full footer { font-size: 7pt; margin-top: 1mm; }
.full .pictures > svg { max-height: 23mm; }
.pictures { display: flex; gap: 3mm; align-items: flex-start; }
.pictures > svg { flex: 1 1 0; min-width: 0; }
.pictures .ledger { flex: 0 0 46mm; }
.pictures .ledger svg { max-height: 20mm; }
.quiet { color: #444; font-size: 8pt; }
svg { display: block; width: 100%; height: auto; max-height: 28mm; margin: 0.4mm 0; }
.tables .ledger { flex: 1 1 88mm; max-width: none; }
.ledger svg { max-height: 20mm; margin: 0; }
.ledger p { font-size: 8pt; }
.tables { display: flex; flex-wrap: wrap; gap: 0 3mm; }
.tables section { max-width: 100%; }
section { break-inside: avoid; }
.notes { columns: 3; column-gap: 5mm; font-size: 7pt; margin-top: 0.6mm; }
.notes h2 { margin-top: 1mm; }
.notes section { break-inside: auto; }
td { white-space: nowrap; }
table { border-collapse: collapse; font-size: 7pt; font-variant-numeric: tabular-nums; }
th, td { text-align: left; padding: 0.2mm 1.8mm 0.2mm 0; line-height: 1.15; border-bottom: 0.2mm solid #bbb; vertical-align: top; }
.full th, .full td { padding-right: 1.4mm; }
th { font-weight: 600; }
.logo { float: right; max-width: 45mm; max-height: 16mm; margin: 0 0 1mm 4mm; }
.signatures { display: flex; gap: 8mm; margin-top: 8mm; }
.signatures p { flex: 1; border-top: 0.2mm solid #111; padding-top: 0.5mm; }
.customer { font-size: 10.5pt; line-height: 1.35; }
.customer svg { max-height: 75mm; }
.customer table, .customer .notes { font-size: 9pt; }
.customer .signatures { margin-top: 18mm; }
.sheet + .sheet { break-before: page; margin-top: 8mm; }
footer { margin-top: 2mm; border-top: 0.2mm solid #777; padding-top: 1mm; overflow-wrap: anywhere; }
@media print { body { margin: 0; max-width: none; padding: 0; } .sheet + .sheet { margin-top: 0; } }
`;

/** A report with what the server adds to it. */
export interface ReportPage {
  readonly sheet: Report;
  readonly provenance: Provenance;
}

/** One sheet as a page of its own: no script, nothing fetched. */
export function reportHtml(sheet: Report, provenance: Provenance): string {
  return [
    `${headHtml(sheet.title)}<body class="${escaped(provenance.report)}">`,
    ...sheetLines(sheet, provenance),
    "</body></html>",
  ].join("\n");
}

/**
 * Many sheets as one page, each begun on a new side of paper.
 * @param without  names of lots that have nothing to print
 */
export function reportsHtml(title: string, pages: readonly ReportPage[], without: readonly string[]): string {
  return [
    `${headHtml(title)}<body>`,
    ...pages.flatMap(({ sheet, provenance }) => [
      `<article class="sheet ${escaped(provenance.report)}">`,
      ...sheetLines(sheet, provenance),
      "</article>",
    ]),
    without.length === 0 ? "" : `<p class="quiet">Without runs to print: ${escaped(without.join("; "))}.</p>`,
    "</body></html>",
  ].join("\n");
}

function headHtml(title: string): string {
  return `<!doctype html>\n<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width"><title>${escaped(title)}</title><style>${style}</style></head>`;
}

function sheetLines(
  sheet: Report,
  { hash, version, report, keptOn, logo = null }: Provenance,
): readonly string[] {
  // The bars of one step leave the curves room beside them.
  const isNarrow = sheet.ledger?.steps === 1;
  return [
    logoHtml(logo),
    `<header><h1>${escaped(sheet.title)}</h1><p class="quiet">${escaped(sheet.about)}</p></header>`,
    `<main><p class="verdict">${escaped(sheet.verdict)}</p>`,
    sheet.rule === "" ? "" : `<p class="quiet">${escaped(sheet.rule)}</p>`,
    `<div class="pictures">${sheet.svg}${isNarrow ? ledgerHtml(sheet.ledger) : ""}</div>`,
    `<div class="tables">${sheet.tables.map(tableHtml).join("")}${isNarrow ? "" : ledgerHtml(sheet.ledger)}</div>`,
    '<div class="notes">',
    ...sheet.notes.map(
      ({ title, lines }) =>
        `<section><h2>${escaped(title)}</h2>${lines.map((line) => `<p>${escaped(line)}</p>`).join("")}</section>`,
    ),
    "</div>",
    signaturesHtml(sheet.signatures ?? []),
    "</main>",
    `<footer class="quiet">Report level ${escaped(report)}. Lot saved ${escaped(keptOn)}. Fineband ${escaped(version)}; the same data and version give the same report. SHA-256 of all it rests on: ${escaped(hash)}</footer>`,
  ];
}

/** A picture that says nothing that the report does not: the issuer stands in words. */
function logoHtml(logo: Bodies["logo"] | null): string {
  const type = logo === null ? null : logoType(logo.image);
  return logo === null || type === null
    ? ""
    : `<img class="logo" alt="" src="data:${type};base64,${escaped(logo.image)}">`;
}

function tableHtml({ title, heading, rows, foot = "" }: ReportTable): string {
  // The corner above the row names heads no column of numbers.
  const head = heading
    .map((cell) => (cell === "" ? "<td></td>" : `<th scope="col">${escaped(cell)}</th>`))
    .join("");
  const body = rows
    .map(
      ([name = "", ...cells]) =>
        `<tr><th scope="row">${escaped(name)}</th>${cells.map((cell) => `<td>${escaped(cell)}</td>`).join("")}</tr>`,
    )
    .join("");
  return `<section><h2>${escaped(title)}</h2><table><thead><tr>${head}</tr></thead><tbody>${body}</tbody></table>${foot === "" ? "" : `<p class="foot">${escaped(foot)}</p>`}</section>`;
}

function signaturesHtml(names: readonly string[]): string {
  if (names.length === 0) return "";
  return `<div class="signatures">${names.map((name) => `<p>${escaped(name)}: name, date, signature</p>`).join("")}</div>`;
}

function ledgerHtml(ledger: Report["ledger"]): string {
  if (ledger === null) return "";
  const { title, svg, sentence } = ledger;
  return `<section class="ledger"><h2>${escaped(title)}</h2>${svg}<p>${escaped(sentence)}</p></section>`;
}
