// How long one sheet and a comparison of twenty lots take at the server, each asked as the page or the command line asks.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { timed } from "./lots.mjs";
import { serve } from "./served.mjs";

const root = fileURLToPath(new URL("../..", import.meta.url));
const compared = 20;

/** Six runs of a demo lot, every size times a factor: a table of its own for each of twenty powders. */
function tableOf(factor) {
  return readFileSync(join(root, "distributions/samples/lots/garnet-07/re-fired.csv"), "utf8")
    .split("\n")
    .map((row) => {
      const [lower, upper, ...shares] = row.split(";");
      return /^[\d.]+$/.test(lower)
        ? [lower, upper]
            .map((um) => (um * factor).toPrecision(5))
            .concat(shares)
            .join(";")
        : row;
    })
    .join("\n");
}

export async function benchAnswers() {
  const { address, stop } = await serve();
  const sheet = (report) => async () => {
    const answer = await fetch(`${address}api/lots/1/sheet?report=${report}`);
    if (!answer.ok) throw new Error(`no sheet: ${answer.status}`);
    await answer.text();
  };
  for (const report of ["grade", "method", "full"])
    await timed(`one sheet, report ${report}`, sheet(report), 15);
  const powders = Array.from({ length: compared }, (_, i) => ({
    name: `lot ${i + 1}`,
    text: tableOf(1 + i / 100),
  }));
  const body = JSON.stringify({ powders, options: {} });
  const compare = async () => {
    const answer = await fetch(`${address}api/against`, {
      method: "POST",
      body,
      headers: { "content-type": "application/json" },
    });
    const { others } = await answer.json();
    if (others?.length !== compared - 1) throw new Error(`compared ${others?.length} of ${compared - 1}`);
  };
  await compare();
  await timed(`${compared} lots of six runs compared, their tables read first`, compare, 15);
  stop();
}

if (process.argv[1] === fileURLToPath(import.meta.url)) await benchAnswers();
