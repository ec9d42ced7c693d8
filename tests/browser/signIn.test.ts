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
  await page.getByText("Signed in: ada, administrator.").waitFor();
  expect(await page.evaluate(() => document.cookie)).toBe("");
  const section = page.getByRole("region", { name: "Accounts and tokens" });
  await section.getByLabel("Name of the new account").fill("Ben");
  await page.keyboard.press("Enter");
  await section.getByRole("row", { name: /^Ben/ }).waitFor();
  const first = await section.getByRole("status").locator("code").textContent();
  await section.getByLabel("Role of Ben").selectOption("reader");
  await section.getByRole("button", { name: "Make" }).click();
  await section.getByRole("status").filter({ hasText: "The token, shown this once: fineband_" }).waitFor();
  expect(await violations(page)).toEqual([]);
  await section.getByRole("button", { name: /^End the token of ada/ }).click();
  await section.getByText("There are no tokens for scripts.").waitFor();
  await section.getByRole("button", { name: "Disable ada" }).click();
  await section.getByRole("alert").filter({ hasText: "last administrator" }).waitFor();
  await page.getByRole("button", { name: "Sign out", exact: true }).click();
  await page.getByRole("heading", { level: 1, name: "Sign in" }).waitFor();
  await page.getByLabel("Name").fill("ben");
  await page.getByLabel("Password").fill(first ?? "");
  await page.keyboard.press("Enter");
  await page.getByText("Signed in: Ben, reader.").waitFor();
  const own = page.getByRole("region", { name: "Accounts and tokens" });
  await own.getByRole("heading", { name: "Password and tokens" }).waitFor();
  expect(await own.getByRole("table").count()).toBe(0);
  await own.getByLabel("Your password", { exact: true }).fill(first ?? "");
  await own.getByLabel("New password", { exact: true }).fill("five wet stones in a row");
  await page.keyboard.press("Enter");
  await page.getByRole("heading", { level: 1, name: "Sign in" }).waitFor();
  await page.getByLabel("Name").fill("ben");
  await page.getByLabel("Password").fill("five wet stones in a row");
  await page.keyboard.press("Enter");
  await page.getByText("Signed in: Ben, reader.").waitFor();
  await page.getByRole("button", { name: "Sign out", exact: true }).click();
  await page.getByRole("heading", { level: 1, name: "Sign in" }).waitFor();
  await browser.close();
});
