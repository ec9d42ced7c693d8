import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";
import { sentencesPage } from "./page.ts";

const root = fileURLToPath(new URL("../..", import.meta.url));

test("docs/sentences.md is what the product says today; `npm run sentences` writes it anew", () => {
  expect(sentencesPage(root)).toBe(readFileSync(`${root}docs/sentences.md`, "utf8"));
});
