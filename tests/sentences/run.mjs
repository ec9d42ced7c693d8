// `npm run sentences`: writes docs/sentences.md, everything that the product says, to be read aloud.
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { runnerImport } from "vite";

const root = fileURLToPath(new URL("../..", import.meta.url));
const { module } = await runnerImport(join(root, "tests/sentences/page.ts"), {
  configFile: false,
  root,
  logLevel: "warn",
});
writeFileSync(join(root, "docs/sentences.md"), module.sentencesPage(root));
console.log("Written: docs/sentences.md");
