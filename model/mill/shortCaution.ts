import type { Mill } from "./mill.ts";

/** The cautions in two sentences, for where room is scarce: the whole list is never farther than one step. */
export function shortCaution(mill: Mill): string {
  const gas =
    mill.gas === "nitrogen" || mill.gas === "argon"
      ? `dust that burns and ${mill.gas} that displaces air`
      : mill.gas === "steam"
        ? "dust that burns and steam that scalds"
        : "dust that burns";
  const plate =
    mill.ratedSpeedRpm === null
      ? "No rated speed is entered, so no speed is suggested."
      : "Stay below the speed on the machine's plate.";
  return `${plate} Compressed gas, airborne powder, ${gas} can each kill: local codes, the safety data sheet and the machine's manual come first.`;
}
