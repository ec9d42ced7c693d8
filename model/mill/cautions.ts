import type { Mill } from "./mill.ts";

export const cautionForJets =
  "Compressed gas stores energy: stay within the ratings of vessel and hoses, and release the pressure before opening anything.";

/** What a careful person would say beside the slider. It says nothing about what is allowed: plate, manual and local rules do. */
export function cautionsFor(mill: Mill): string[] {
  const cautions = [
    mill.ratedSpeedRpm === null
      ? "No rated speed is entered, so no speed is suggested. Take the rating from the machine's plate, or from the limit your engineer set."
      : "Stay below the speed on the machine's plate or the limit your engineer set. This calculation does not know the condition of wheel, bearings and guards.",
    cautionForJets,
    "Fine powder becomes airborne and can be inhaled: keep the line closed and under extraction, and ask your occupational hygienist about the respirable share.",
    "Metal, carbon and other combustible powders can cause dust explosions: have the powder tested before milling it in air.",
  ];
  if (mill.gas === "nitrogen" || mill.gas === "argon") {
    cautions.push(
      `${mill.gas === "argon" ? "Argon" : "Nitrogen"} displaces air: a leak in a closed room suffocates without warning. Monitor the oxygen content.`,
    );
  }
  if (mill.gas === "steam")
    cautions.push("Superheated steam is invisible and causes burns: keep hot parts covered.");
  cautions.push(
    "Local codes, the safety data sheet, the machine's manual and licensed practice take precedence over every number here.",
  );
  return cautions;
}
