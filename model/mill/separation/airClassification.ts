import { DomainError } from "#distributions/domainError.ts";
import { itemAt } from "#distributions/lists.ts";
import { classesOf, type SizeDistribution, sizeDistribution } from "#distributions/sizeDistribution.ts";
import { passing, type Separation } from "./separation.ts";

export interface AirClassified {
  /** What is kept; null where nothing is left. */
  readonly kept: SizeDistribution | null;
  /** Share of the powder that is kept. */
  readonly yieldShare: number;
}

/** Classes are parted at this many sizes each, even in ln x. */
const parts = 8;

/**
 * A powder after its fines or its coarse end was cut off by a classifier of a given cut size and sharpness.
 *
 * @param cut  "fines": what goes fine is thrown away; "coarse": what goes coarse is
 * @throws     DomainError  a powder not counted by volume, or a separation out of range
 * Accuracy:   the mean of the grade efficiency over each class by eight mids; 1e-3 of a class for κ up to 0.9.
 * Source:     grade efficiency T(x), ISO 9276-4; docs/science.md.
 */
export function airClassify(
  m: SizeDistribution,
  cut: "fines" | "coarse",
  separation: Separation,
): AirClassified {
  if (m.quantity !== "volume") throw new DomainError("powder", "must be by volume", m.quantity);
  const fine = passing(separation);
  const keeps = (x: number) => (cut === "fines" ? 1 - fine(x) : fine(x));
  const shares = classesOf(m).map(({ lowerUm: from, upperUm: to, share }) => {
    let sum = 0;
    for (let k = 0; k < parts; k++) sum += keeps(from * (to / from) ** ((k + 0.5) / parts));
    return (share * sum) / parts;
  });
  // The powder outside the classes goes as the end of the classes does.
  const belowShare = m.belowShare * keeps(itemAt(m.lowerUm, 0));
  const aboveShare = m.aboveShare * keeps(itemAt(m.upperUm, -1));
  const yieldShare = shares.reduce((a, b) => a + b, 0) + belowShare + aboveShare;
  if (!(yieldShare > 1e-6)) return { kept: null, yieldShare: Math.max(0, yieldShare) };
  const kept = sizeDistribution({
    ...m,
    shares: shares.map((v) => v / yieldShare),
    belowShare: belowShare / yieldShare,
    aboveShare: aboveShare / yieldShare,
  });
  return { kept, yieldShare };
}
