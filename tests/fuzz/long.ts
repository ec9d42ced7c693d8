import { countLayouts } from "../distributions/tables/countLayouts.ts";
import { corpora, readCorpus } from "./corpora.ts";
import { countMutants } from "./countMutants.ts";

const say = (line: string) => console.log(line);
const show = (title: string, list: readonly string[]) => {
  say(`${title}: ${list.length}`);
  for (const line of list.slice(0, 20)) say(`  ${line}`);
};
const whole = (text: string | undefined, otherwise: number) =>
  text === undefined ? otherwise : Number(text);

const [first, ...rest] = process.argv.slice(2);
process.exitCode = (await (first === "tables" ? someTables(rest) : everything([first, ...rest]))) ? 0 : 1;

/** One family of tables: its name, how many, from which seed. */
async function someTables([name = "", tables, seed]: readonly (string | undefined)[]): Promise<boolean> {
  const corpus = corpora[name];
  if (corpus === undefined) {
    say(`There is no family "${name}" of tables. Take one of ${Object.keys(corpora).join(", ")}.`);
    return false;
  }
  const many = whole(tables, 2000);
  return isRight(await readCorpus(corpus, { first: whole(seed, 1), tables: many }, say), many);
}

async function everything([layouts, mutants, hostile]: readonly (string | undefined)[]): Promise<boolean> {
  let isWell = true;
  for (const corpus of Object.values(corpora)) {
    const tables = Math.ceil(whole(hostile, 20_000) * corpus.part);
    say(`${tables} ${corpus.title}`);
    isWell = isRight(await readCorpus(corpus, { first: 1, tables }, say), tables) && isWell;
  }
  const areRead = randomLayouts(whole(layouts, 5000));
  const areSafe = damaged(whole(mutants, 100_000));
  isWell = areRead && areSafe && isWell;
  say(isWell ? "All as promised." : "Not as promised.");
  return isWell;
}

/** What is asked needlessly may be 3 %. */
function isRight({ wrong, needless }: Awaited<ReturnType<typeof readCorpus>>, tables: number): boolean {
  return wrong === 0 && needless <= 0.03 * tables;
}

function randomLayouts(layouts: number): boolean {
  say(`${layouts} random layouts of known powders`);
  const { misread, unread } = countLayouts(1, layouts);
  show("misread", misread);
  show("refused, or a question beyond quantity and edge", unread);
  return misread.length === 0 && unread.length <= 0.02 * layouts;
}

function damaged(mutants: number): boolean {
  say(`${mutants} damaged tables`);
  const { crashes, hangs, bent, slowestMs, slowest, accepted } = countMutants(
    1,
    mutants,
    () => process.cpuUsage().user / 1000,
  );
  show("crashes", crashes);
  show("longer than a second", hangs);
  show("curves that bend back", bent);
  const maxMb = process.resourceUsage().maxRSS / 1024;
  say(
    `curves accepted: ${accepted}; slowest ${slowestMs.toFixed(0)} ms (${slowest}); memory at most ${maxMb.toFixed(0)} MB`,
  );
  return crashes.length + hangs.length + bent.length === 0 && maxMb < 300;
}
