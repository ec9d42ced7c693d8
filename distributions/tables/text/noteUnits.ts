import { wordsIn } from "./lexicon.ts";
import type { UnitOption } from "./readingOptions.ts";
import { unitIn } from "./units.ts";

const unitNames =
  /^(units?|einheit(en)?|unites?|unidad(es)?|unita|unidades?|единиц\p{L}*|all|alle|given|expressed|measured|are|is|sind|sont|son|sono|angegeben|exprimees?)$/u;

/** A line, or a clause of it, that states the unit of the sizes and nothing else; a lens, a cell or a wavelength states none. */
export function sizeUnitInNotes(line: string): UnitOption | null {
  if (unitIn(line) === null) return null;
  for (const clause of line.split(/[;,.](?=\s)/)) {
    const unit = unitInClause(clause);
    if (unit !== null) return unit;
  }
  return null;
}

function unitInClause(clause: string): UnitOption | null {
  const unit = unitIn(clause);
  if (unit === null || /\d/.test(clause)) return null;
  const words = wordsIn(clause).filter((w) => /[\p{L}]/u.test(w.text));
  const isOfSizes = words.some((w) => w.meanings.includes("size"));
  const isAbout = words.every(
    (w) =>
      unitIn(w.text) !== null ||
      unitNames.test(w.text) ||
      w.meanings.some(
        (m) =>
          m === "size" ||
          m === "link" ||
          m === "between" ||
          m === "class" ||
          (isOfSizes && (m === "upper" || m === "lower" || m === "mid")),
      ) ||
      /单位|単位|단위/.test(w.text),
  );
  return isAbout && words.length <= 8 ? unit : null;
}
