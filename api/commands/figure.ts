import { basename, dirname, extname } from "node:path";
import { numberOption, readingFlags, textOption } from "#api/contract/options.ts";
import { UnusableInput } from "#api/faults.ts";
import { curveOf, meanCurve } from "#distributions/curve.ts";
import { byVolume } from "#model/lot/byVolume.ts";
import { chartPicture } from "#model/pictures/chartPicture.ts";
import { curvesChart } from "#model/pictures/curvesChart.ts";
import { paperSize, paperSvg, paperWidthsMm } from "#model/pictures/paperSvg.ts";
import { counted } from "#model/words/wording.ts";
import { bandOf } from "./blend.ts";
import { type Command, readFiles } from "./command.ts";

/** A column of a paper. */
const usualWidthMm = 85;

/** `figure`: curves as a drawing for a paper. */
export const figure: Command = {
  summary: "a figure for a paper: the mean curve of each file, on a band where one is named, as SVG in greys",
  usage: "FILE… [--band BAND.json] [--width MM] --out FIGURE.svg",
  flags: [...readingFlags, "band", "width", "out"],
  run(files, given, world) {
    const out = textOption(given, "out");
    if (out === undefined)
      throw new UnusableInput("figure needs a file to write to: --out FIGURE.svg.", "no file", "--out FILE");
    const widthMm = numberOption(given, "width") ?? usualWidthMm;
    const { least, most } = paperWidthsMm;
    if (widthMm < least || widthMm > most)
      throw new UnusableInput(
        `--width takes ${least} to ${most} mm; found ${widthMm}.`,
        String(widthMm),
        `${least} to ${most}`,
      );
    const bandPath = textOption(given, "band");
    const band = bandPath === undefined ? null : bandOf(bandPath, world);
    const tables = files.map((file) => ({ file, ...readFiles([file], given, world) }));
    const turned = tables.map((table) => ({
      ...byVolume(table.measurements, "The figure is by volume"),
      file: table.file,
    }));
    const problems = [...tables, ...turned].flatMap((each) => each.problems);
    const powders = turned.flatMap(({ file, runs }) =>
      runs === null || runs.length === 0
        ? []
        : [{ file, curve: meanCurve(runs.map(({ distribution }) => curveOf(distribution))) }],
    );
    if (powders.length === 0)
      throw new UnusableInput("There is no curve by volume to draw.", "no curve", "tables that can be read");
    const names = namesOf(powders.map(({ file }) => file));
    const drawn = powders.map(({ curve }, i) => ({ name: names[i] ?? "", curve }));
    const picture = chartPicture(curvesChart(drawn, band?.envelope ?? null), paperSize(widthMm));
    world.writeFile(out, paperSvg(picture, widthMm));
    return {
      body: { file: out, widthMm, powders: names, problems },
      sentences: [`The figure is in ${out}: ${counted(names.length, "curve")}, ${widthMm} mm wide.`],
      isNo: false,
    };
  },
};

/** What the curves are called: the files' names, with their folders where two are alike. */
function namesOf(files: readonly string[]): string[] {
  const stems = files.map((file) => basename(file, extname(file)));
  const isAlike = new Set(stems).size < stems.length;
  return stems.map((stem, i) => (isAlike ? `${basename(dirname(files[i] ?? ""))} ${stem}` : stem));
}
