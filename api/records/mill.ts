import { z } from "@hono/zod-openapi";
import { gasNames } from "#model/mill/gas/gas.ts";
import { type Mill, parseMill } from "#model/mill/mill.ts";
import { kindRead } from "./kind.ts";

const number = z.number();
/** MILL.json. The model's own reader checks it, and says in words what is wrong. */
export const machineFields = z
  .object({
    wheelRadiusM: number,
    wheelHeightM: number,
    freeAreaShare: number,
    swirlRatio: number,
    ratedSpeedRpm: number.nullable(),
    gas: z.enum(gasNames),
    temperatureC: number,
    pressurePa: number,
    gasFlowM3PerH: number,
    particleDensityGPerCm3: number,
    gasFlowNormalM3PerH: number.nullable().exactOptional(),
    nozzlePressurePa: number.nullable().exactOptional(),
    grindingLimitUm: number.nullable().exactOptional(),
  } satisfies Record<keyof Mill, z.ZodType>)
  .openapi("Mill");

export const millFields = z.object({ name: z.string(), mill: machineFields });
const written = millFields.extend({ mill: z.unknown() });

export const mill = kindRead(millFields, readMill, { list: "mills", title: (b) => `mill "${b.name}"` });

function readMill(value: unknown): { readonly name: string; readonly mill: Mill } {
  const { name, mill: machine } = written.parse(value);
  const { mill: read, problems } = parseMill(machine, null);
  if (read === null) throw new Error(problems.map((p) => p.message).join(" "));
  return { name, mill: read };
}
