import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { Accounts } from "#api/access/accounts.ts";
import { type Running, spawnServer, startServer } from "../hard/server.ts";
import { violations } from "./axe.ts";
import { launchBrowser } from "./browser.ts";

const folder = mkdtempSync(join(tmpdir(), "fineband-sign-in-"));
const beyond = { FINEBAND_HOSTS: "lab.example", FINEBAND_PLAIN_HTTP: "yes" };
const password = "a long walk by the sea";
let server: Running;

beforeAll(async () => {
  // Without an account it does not start, and says what would help.
  const refused = spawnServer(folder, beyond);
  expect(await new Promise((resolve) => refused.once("exit", resolve))).toBe(3);
  await new Accounts(folder, 2 ** 10).add("ada", "administrator", password);
  server = await startServer(folder, beyond);
});
afterAll(async () => {
  await server?.stop();
  rmSync(folder, { recursive: true });
});

test("who is not signed in sees the sign-in alone, signs in by the keyboard, works under the account's name, and leaves", async () => {
  const browser = await launchBrowser();
  // The rules of accessibility are run by a script of the test's own.
  const page = await browser.newPage({ bypassCSP: true });
  await page.goto(`${server.address}/#/change-history`);
  await page.getByRole("heading", { level: 1, name: "Sign in" }).waitFor();
  expect(await page.getByRole("navigation").count()).toBe(0);
  expect(await violations(page)).toEqual([]);
  const signIn = async (word: string) => {
    await page.getByLabel("Name").fill("ada");
    await page.keyboard.press("Tab");
    await page.keyboard.type(word);
    await page.keyboard.press("Enter");
  };
  await signIn("not the password");
  await page.getByRole("alert").filter({ hasText: "Name or password is wrong." }).waitFor();
  await page.getByLabel("Password").fill("");
  await signIn(password);
  await page.getByText("Signed in as ada, administrator.").waitFor();
  expect(await page.evaluate(() => document.cookie)).toBe("");
  await page.getByRole("button", { name: "Sign out", exact: true }).click();
  await page.getByRole("heading", { level: 1, name: "Sign in" }).waitFor();
  await browser.close();
});
