import { type Problem, problem } from "#distributions/problem.ts";
import { readJsonFile } from "#distributions/tables/text/jsonFile.ts";
import { actualFlowM3PerH, type GasName, gasNames } from "#model/mill/gas/gas.ts";

/** A jet mill with a classifier wheel, and the powder and gas in it. */
export interface Mill {
  readonly wheelRadiusM: number;
  readonly wheelHeightM: number;
  /** Open share of the wheel's outer face, 0 … 1. */
  readonly freeAreaShare: number;
  /** Gas turning speed over wheel rim speed; 1 when the gas follows the wheel. */
  readonly swirlRatio: number;
  /** From the machine's plate; null where it is not known, and then no speed is suggested. */
  readonly ratedSpeedRpm: number | null;
  readonly gas: GasName;
  readonly temperatureC: number;
  /** Absolute, at the wheel. */
  readonly pressurePa: number;
  /** At the wheel. */
  readonly gasFlowM3PerH: number;
  readonly particleDensityGPerCm3: number;
  /** The flow as it was noted in normal cubic metres (0 °C, 101,325 Pa, dry); null where it was noted at the wheel. */
  readonly gasFlowNormalM3PerH?: number | null;
  /** Absolute, before the nozzles; null where it is not known. */
  readonly nozzlePressurePa?: number | null;
  /** Below this the powder no longer breaks; null where it is not known. */
  readonly grindingLimitUm?: number | null;
}

/** What each entry of MILL.json is called, with its unit. */
const words: Readonly<Record<string, string>> = {
  wheelRadiusM: "The wheel's radius in m",
  wheelHeightM: "The wheel's height in m",
  freeAreaShare: "The wheel's free area as a share",
  swirlRatio: "The swirl ratio",
  ratedSpeedRpm: "The rated speed in rpm",
  gas: "The gas",
  temperatureC: "The temperature in °C",
  pressurePa: "The absolute pressure at the wheel in Pa",
  gasFlowM3PerH: "The gas flow at the wheel in m³/h",
  gasFlowNormalM3PerH: "The gas flow in normal m³/h",
  nozzlePressurePa: "The absolute pressure before the nozzles in Pa",
  grindingLimitUm: "The grinding limit in µm",
  particleDensityGPerCm3: "The density of the powder's solid in g/cm³",
};

const known: readonly string[] = [
  "wheelRadiusM",
  "wheelHeightM",
  "freeAreaShare",
  "pressurePa",
  "gasFlowM3PerH",
  "particleDensityGPerCm3",
  "swirlRatio",
  "ratedSpeedRpm",
  "gasFlowNormalM3PerH",
  "nozzlePressurePa",
  "grindingLimitUm",
  "gas",
  "temperatureC",
  "name",
];

/** Reads MILL.json. */
export function readMill(text: string, file: string | null): { mill: Mill | null; problems: Problem[] } {
  const json = readJsonFile(text, file, "The mill's file");
  return "problem" in json ? { mill: null, problems: [json.problem] } : parseMill(json.value, file);
}

/** Checks a mill that came as JSON; every fault is named, with what was expected. */
export function parseMill(value: unknown, file: string | null): { mill: Mill | null; problems: Problem[] } {
  if (typeof value !== "object" || value === null || Array.isArray(value))
    return { mill: null, problems: [notAMill(file)] };
  const given: Record<string, unknown> = { ...value };
  const problems = strangeEntries(given, file);
  const fault = (name: string, expected: string) => {
    const found = name in given ? JSON.stringify(given[name]) : "nothing";
    problems.push(
      problem("refused", `${words[name] ?? name} must be ${expected}; found ${found}.`, {
        file,
        found,
        expected: `${name}: ${expected}`,
      }),
    );
    return 0;
  };
  const positive = (name: string) => {
    const v = given[name];
    return typeof v === "number" && Number.isFinite(v) && v > 0 ? v : fault(name, "a number above zero");
  };
  const wheelRadiusM = positive("wheelRadiusM");
  const wheelHeightM = positive("wheelHeightM");
  const freeAreaShare = positive("freeAreaShare");
  const pressurePa = positive("pressurePa");
  // Where the flow was noted in normal cubic metres it follows from them.
  const gasFlowM3PerH = given["gasFlowNormalM3PerH"] != null ? 1 : positive("gasFlowM3PerH");
  const particleDensityGPerCm3 = positive("particleDensityGPerCm3");
  if (freeAreaShare > 1) fault("freeAreaShare", "a share of at most 1");
  const swirlRatio = given["swirlRatio"] === undefined ? 1 : positive("swirlRatio");
  const positiveOrNull = (name: string) => (given[name] == null ? null : positive(name));
  const ratedSpeedRpm = positiveOrNull("ratedSpeedRpm");
  const gasFlowNormalM3PerH = positiveOrNull("gasFlowNormalM3PerH");
  const nozzlePressurePa = positiveOrNull("nozzlePressurePa");
  const grindingLimitUm = positiveOrNull("grindingLimitUm");
  if (nozzlePressurePa !== null && nozzlePressurePa <= pressurePa)
    fault("nozzlePressurePa", "above the pressure at the wheel");
  const gas = gasNames.find((name) => name === given["gas"]);
  if (gas === undefined) fault("gas", `one of ${gasNames.join(", ")}`);
  const t = given["temperatureC"];
  const temperatureC =
    typeof t === "number" && Number.isFinite(t) && t > -273.15
      ? t
      : fault("temperatureC", "a number above −273.15");
  if (gas === undefined || problems.length > 0) return { mill: null, problems };
  return {
    mill: {
      wheelRadiusM,
      wheelHeightM,
      freeAreaShare,
      swirlRatio,
      ratedSpeedRpm,
      gas,
      temperatureC,
      pressurePa,
      gasFlowM3PerH:
        gasFlowNormalM3PerH === null
          ? gasFlowM3PerH
          : actualFlowM3PerH(gasFlowNormalM3PerH, temperatureC + 273.15, pressurePa),
      particleDensityGPerCm3,
      ...(gasFlowNormalM3PerH === null ? {} : { gasFlowNormalM3PerH }),
      ...(nozzlePressurePa === null ? {} : { nozzlePressurePa }),
      ...(grindingLimitUm === null ? {} : { grindingLimitUm }),
    },
    problems,
  };
}

function notAMill(file: string | null): Problem {
  return problem("refused", "A mill is a JSON object with its wheel, gas and powder.", {
    file,
    expected: "an object",
  });
}

function strangeEntries(given: Readonly<Record<string, unknown>>, file: string | null): Problem[] {
  return Object.keys(given)
    .filter((name) => !known.includes(name))
    .map((name) =>
      problem("refused", `${name} is not part of a mill. Known are ${known.join(", ")}.`, {
        file,
        found: name,
        expected: known.join(", "),
      }),
    );
}
