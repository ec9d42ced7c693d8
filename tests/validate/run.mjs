// `npm run validate`: recomputes every outside check and writes docs/validation.md.
// `npm run validate -- --with-references`: asks general-purpose libraries for second opinions and writes docs/references.md.
// `npm run validate -- --second-lab`: simulates the second laboratory alone and puts it into docs/validation.md.
// A page is left alone where what it needs is not on this machine; that is said, and is no failure.
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { runnerImport } from "vite";

const root = fileURLToPath(new URL("../..", import.meta.url));
const load = async (file) => {
  const { module } = await runnerImport(join(root, "tests/validate", file), {
    configFile: false,
    root,
    logLevel: "warn",
  });
  return module;
};

function write(page, text) {
  writeFileSync(join(root, "docs", page), text);
  console.log(`Written: docs/${page}`);
}

function tell(unexpected) {
  for (const line of unexpected) console.error(`✗ ${line}`);
  if (unexpected.length > 0) process.exitCode = 1;
}

async function validate() {
  const { validationPage } = await load("page.ts");
  const { text, missing, unexpected, summary } = validationPage();
  tell(unexpected);
  if (missing.length === 0) {
    console.log(summary);
    write("validation.md", text);
    return;
  }
  for (const file of missing) console.log(`not recomputed, its data is not on this machine: ${file}`);
  console.log(
    "docs/validation.md is left as it is. FINEBAND_CHECK_DATA names the folder of the published data.",
  );
}

async function askReferences() {
  const { referencesPage } = await load("references/page.ts");
  const { text, absent, unexpected } = referencesPage();
  tell(unexpected);
  if (absent === null) write("references.md", text);
  else console.log(`docs/references.md is left as it is: ${absent}`);
}

// The second laboratory by itself, in place of its part of the page, which otherwise stays as it is.
async function visitSecondLab() {
  const { secondLabPart, secondLabHeading } = await load("simulations/secondLab/page.ts");
  const page = readFileSync(join(root, "docs/validation.md"), "utf8");
  const [before, after = ""] = page.includes(`${secondLabHeading}\n`)
    ? page.split(`${secondLabHeading}\n`)
    : page.split(/(?=^## Where ours and a source differ$)/m);
  const rest = after.slice(after.search(/^## /m));
  write("validation.md", `${before}${secondLabPart()}\n\n${rest}`);
}

if (process.argv.includes("--second-lab")) await visitSecondLab();
else if (process.argv.includes("--with-references")) await askReferences();
else await validate();
