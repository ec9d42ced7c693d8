import type { Mill } from "./mill.ts";

export const cautionForJets =
  "Compressed gas stores energy: keep to the vessel's and hoses' ratings, and release pressure before opening anything.";

/** What a careful person would say beside the slider. It says nothing about what is allowed: plate, manual and local rules do. */
export function cautionsFor(mill: Mill): string[] {
  const cautions = [
    mill.ratedSpeedRpm === null
      ? "No rated speed is entered, so no speed is suggested. Take it from the machine's plate, or from the limit your engineer set."
      : "Stay under the speed on the machine's plate or the one your engineer set. This page does not know the state of wheel, bearings or guards.",
    cautionForJets,
    "Fine powder floats and may be breathed in: keep the line closed and under extraction, and ask your hygienist about the respirable share.",
    "Metal, carbon and other powders that can burn may explode as dust: have the powder tested before it is milled in air.",
  ];
  if (mill.gas === "nitrogen" || mill.gas === "argon") {
    cautions.push(
      `${mill.gas === "argon" ? "Argon" : "Nitrogen"} displaces air: a leak in a closed room suffocates without warning. Watch the oxygen.`,
    );
  }
  if (mill.gas === "steam")
    cautions.push("Superheated steam burns and cannot be seen: keep hot parts covered.");
  cautions.push(
    "Local codes, the safety data sheet, the machine's manual and licensed practice come before any number here.",
  );
  return cautions;
}
