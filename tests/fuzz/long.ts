import { countLayouts } from "../distributions/tables/countLayouts.ts";
import { countMutants } from "./countMutants.ts";
import { countHostile } from "./hostile/count.ts";
import { oddOf } from "./hostile/odd.ts";
import { sieveStackOf } from "./hostile/sieves.ts";
import { strangeOf } from "./hostile/strange.ts";
import { countWorkbooks } from "./hostile/workbooks.ts";

const hostile = Number(process.argv[4] ?? 20_000);
const layouts = Number(process.argv[2] ?? 5000);
const mutants = Number(process.argv[3] ?? 100_000);
const show = (title: string, list: readonly string[]) => {
  console.log(`${title}: ${list.length}`);
  for (const line of list.slice(0, 20)) console.log(`  ${line}`);
};

console.log(`${hostile} hostile tables of known powders`);
const judged = countHostile(1, hostile);
console.log(
  Object.entries(judged.outcomes)
    .map(([outcome, count]) => `${outcome} ${count}`)
    .join(", "),
);
for (const outcome of ["misread", "refused", "too many questions", "needless"])
  show(
    outcome,
    judged.wrong
      .filter((w) => w.outcome.startsWith(outcome))
      .map((w) => `${w.seed} [${w.what}] ${w.why.slice(0, 200)}`),
  );

console.log(`${Math.ceil(hostile / 4)} tables of a stranger`);
show(
  "misread, refused or needless",
  countHostile(1, Math.ceil(hostile / 4), strangeOf).wrong.map(
    (w) => `${w.seed} ${w.outcome} [${w.what}] ${w.why.slice(0, 200)}`,
  ),
);

console.log(`${Math.ceil(hostile / 4)} tables of a kind each`);
show(
  "misread, refused or needless",
  countHostile(1, Math.ceil(hostile / 4), oddOf).wrong.map(
    (w) => `${w.seed} ${w.outcome} [${w.what}] ${w.why.slice(0, 200)}`,
  ),
);

console.log("2000 stacks of sieves");
show(
  "misread, refused or needless",
  countHostile(1, 2000, sieveStackOf).wrong.map(
    (w) => `${w.seed} ${w.outcome} [${w.what}] ${w.why.slice(0, 200)}`,
  ),
);

console.log("2000 workbooks");
show(
  "misread, refused or needless",
  (await countWorkbooks(1, 2000)).wrong.map(
    (w) => `${w.seed} ${w.outcome} [${w.what}] ${w.why.slice(0, 200)}`,
  ),
);

console.log(`${layouts} random layouts of known powders`);
const { misread, unread } = countLayouts(1, layouts);
show("misread", misread);
show("refused, or a question beyond quantity and edge", unread);

console.log(`${mutants} damaged tables`);
const { crashes, hangs, bent, slowestMs, slowest, accepted } = countMutants(
  1,
  mutants,
  () => process.cpuUsage().user / 1000,
);
show("crashes", crashes);
show("longer than a second", hangs);
show("curves that bend back", bent);
const mostMb = process.resourceUsage().maxRSS / 1024;
console.log(
  `curves accepted: ${accepted}; slowest ${slowestMs.toFixed(0)} ms (${slowest}); memory at most ${mostMb.toFixed(0)} MB`,
);
const isWell =
  misread.length + crashes.length + hangs.length + bent.length === 0 &&
  unread.length <= 0.02 * layouts &&
  mostMb < 300;
console.log(isWell ? "All as promised." : "Not as promised.");
process.exitCode = isWell ? 0 : 1;
