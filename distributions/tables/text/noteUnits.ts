import { wordsIn } from "./lexicon.ts";
import type { UnitOption } from "./readingOptions.ts";
import { unitIn } from "./units.ts";

const unitNames =
  /^(units?|einheit(en)?|unites?|unidad(es)?|unita|unidades?|единиц\p{L}*|all|alle|given|expressed|measured|are|is|angegeben|exprimees?)$/u;

/** A line of notes that states the unit of the sizes and nothing else; a lens, a cell or a wavelength states none. */
export function sizeUnitInNotes(line: string): UnitOption | null {
  const unit = unitIn(line);
  if (unit === null || /\d/.test(line)) return null;
  const words = wordsIn(line).filter((w) => /[\p{L}]/u.test(w.text));
  const isAbout = words.every(
    (w) =>
      unitIn(w.text) !== null ||
      unitNames.test(w.text) ||
      w.meanings.some((m) => m === "size" || m === "link" || m === "between" || m === "class") ||
      /单位|単位|단위/.test(w.text),
  );
  return isAbout && words.length <= 8 ? unit : null;
}
