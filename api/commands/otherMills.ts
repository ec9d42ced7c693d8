import { textOption } from "#api/contract/options.ts";
import { flagsOf } from "#api/contract/verbs.ts";
import { UnusableInput } from "#api/faults.ts";
import { askCircuit, askPressure } from "#api/queries/mill.ts";
import { readJsonFile } from "#distributions/tables/text/jsonFile.ts";
import { cautionForJets } from "#model/mill/cautions.ts";
import { parseCircuit } from "#model/mill/grinding/circuitFile.ts";
import { readPressureTrials } from "#model/mill/pressure/readPressureTrials.ts";
import { type Command, textOf } from "./command.ts";

export const circuit: Command = {
  summary: "the steady-state product of a grinding zone with a classifier wheel",
  usage: "--circuit CIRCUIT.json",
  flags: flagsOf("circuit"),
  run(files, given, world) {
    const path = textOption(given, "circuit");
    if (path === undefined || files.length > 0)
      throw new UnusableInput(
        "circuit needs one circuit and takes no table: --circuit CIRCUIT.json.",
        files.join(", ") || "no circuit",
        "--circuit CIRCUIT.json",
      );
    const body = askCircuit(readCircuit(textOf(path, world), path));
    return { body, sentences: [body.sentence], isNo: body.stuckAtUm !== null };
  },
};

function readCircuit(text: string, file: string): ReturnType<typeof parseCircuit> {
  const json = readJsonFile(text, file, "The circuit's file");
  return "problem" in json ? { circuit: null, problems: [json.problem] } : parseCircuit(json.value, file);
}

export const pressure: Command = {
  summary: "a jet mill without a wheel: the expected D50 at a pressure, and the pressure for a target D50",
  usage: "--trials TRIALS.csv [--pressure BAR] [--feed KG_PER_H] [--target-d50 UM] [--rated BAR]",
  flags: flagsOf("pressure"),
  run(files, given, world) {
    const path = textOption(given, "trials");
    if (path === undefined || files.length > 0)
      throw new UnusableInput(
        "pressure needs the trials of the mill and takes no other table: --trials TRIALS.csv.",
        files.join(", ") || "no trials",
        "--trials TRIALS.csv",
      );
    const body = askPressure(readPressureTrials(textOf(path, world), path), given);
    return {
      body,
      sentences: [body.sentence, ...body.warnings, cautionForJets],
      isNo: body.refused.length > 0,
    };
  },
};
