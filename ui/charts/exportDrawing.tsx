import Papa from "papaparse";
import { paperSize, paperSvg } from "#model/pictures/paperSvg.ts";
import type { Picture } from "#model/pictures/picture.ts";
import { formulaStart } from "#model/words/formulaStart.ts";
import { ExportPicture } from "./exportPicture.tsx";

/** Exports a picture of marks, drawn anew for its width on paper, or what can be read out of it as a table. */
export function ExportDrawing({
  draw,
  picture,
}: {
  draw: (width: number) => Picture | null;
  picture: Picture;
}) {
  return (
    <ExportPicture
      finding={picture.name}
      svg={(widthMm) => paperSvg(draw(paperSize(widthMm).width) ?? picture, widthMm)}
      csv={() => numbersOf(picture)}
    />
  );
}

/** A row for each reading and a column for each of their labels, with all digits, after RFC 4180. */
function numbersOf({ readings = [] }: Picture): string {
  const labels = [...new Set(readings.flatMap(({ values }) => values.map(({ label }) => label)))];
  const rows = readings.map(({ name, values }) => [
    name,
    ...labels.map((label) => values.find((v) => v.label === label)?.value ?? ""),
  ]);
  return `${Papa.unparse([["of", ...labels], ...rows], { escapeFormulae: formulaStart })}\r\n`;
}
