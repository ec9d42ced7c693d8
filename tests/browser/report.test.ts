import { afterAll, beforeAll, expect, test } from "vitest";
import { serve } from "./served.ts";

let served: Awaited<ReturnType<typeof serve>>;
beforeAll(async () => {
  served = await serve();
});
afterAll(() => served?.stop());

test("Print the report, by keyboard, opens the sheet of the stage that is looked at", async () => {
  const { page, faults } = await served.open("#/lot?lot=1");
  const button = page.getByRole("button", { name: "Print the report" });
  await button.focus();
  const opened = page.context().waitForEvent("page");
  await page.keyboard.press("Enter");
  const sheet = await opened;
  await sheet.getByRole("heading", { name: "Garnet host, lot 07, re-fired" }).waitFor();
  expect(await sheet.locator(".verdict").textContent()).toMatch(/^In band, six runs/);
  expect(await sheet.locator("main > .pictures > svg polyline").count()).toBe(4);
  expect(faults).toEqual([]);
  await page.close();
});

test("pressed twice, the report is printed twice, in its own style", async () => {
  const { page } = await served.open("#/lot?lot=1");
  await page.evaluate(() => {
    const openAsBefore = window.open.bind(window);
    Object.assign(window, { printed: [] });
    window.open = (...words) => {
      const opened = openAsBefore(...words);
      const printed: unknown = Reflect.get(window, "printed");
      if (opened !== null && Array.isArray(printed))
        opened.print = () => printed.push(opened.getComputedStyle(opened.document.body).fontSize);
      return opened;
    };
  });
  for (const count of [1, 2]) {
    const opened = page.context().waitForEvent("page");
    await page.getByRole("button", { name: "Print the report" }).click();
    await expect.poll(() => page.evaluate(() => Reflect.get(window, "printed").length)).toBe(count);
    await (await opened).close();
  }
  const sizes: unknown = await page.evaluate(() => Reflect.get(window, "printed"));
  expect(sizes).toEqual([expect.not.stringMatching(/^16px$/), expect.not.stringMatching(/^16px$/)]);
  await page.close();
});

test("a logo heads a customer's report once a picture is chosen, and what is no picture is refused in words", async () => {
  const { page, faults } = await served.open("#/lot?lot=1");
  await page.getByLabel("Report with").selectOption("customer");
  const chosen = page.getByLabel("Logo, if wanted");
  await chosen.setInputFiles({ name: "words.png", mimeType: "image/png", buffer: Buffer.from("no picture") });
  await page.getByRole("alert").filter({ hasText: "PNG or JPEG" }).waitFor();
  const image = await page.locator("h1").screenshot();
  await chosen.setInputFiles({ name: "works.png", mimeType: "image/png", buffer: image });
  await page.getByText("Logo works.png, or another").waitFor();
  const opened = page.context().waitForEvent("page");
  await page.getByRole("button", { name: "Print the report" }).click();
  const sheet = await opened;
  const logo = sheet.locator("img.logo");
  await logo.waitFor();
  expect(await logo.evaluate((img: HTMLImageElement) => img.naturalWidth)).toBeGreaterThan(100);
  const pdf = await sheet.pdf({ format: "A4" });
  expect((pdf.toString("latin1").match(/\/Type \/Page\b/g) ?? []).length).toBe(1);
  await sheet.close();
  await page.getByLabel("Report with").selectOption("label");
  const labelled = page.context().waitForEvent("page");
  await page.getByRole("button", { name: "Print the label" }).click();
  const label = await labelled;
  await label.getByRole("heading", { name: "Garnet host, lot 07" }).waitFor();
  await label.getByText(/^D50 3\.41 µm \(95 %: .*\), six runs$/).waitFor();
  await label.close();
  await page.getByLabel("Report with").selectOption("customer");
  await page.getByRole("button", { name: "Remove the logo" }).click();
  await page.getByLabel("Logo, if wanted").waitFor();
  // The browser says of the refusal that the server answered 422.
  expect(faults.filter((fault) => !fault.includes("422"))).toEqual([]);
  await page.close();
});

test.each([
  ["grade", "A4"],
  ["full", "A4"],
  ["full", "Letter"],
  ["customer", "A4"],
  ["customer", "Letter"],
])("the %s report of the demo lot is one page of %s", async (report, format) => {
  const { page } = await served.open("#/lot?lot=1");
  await page.goto(new URL(`api/lots/1/sheet?report=${report}`, page.url()).href);
  const pdf = await page.pdf({ format });
  expect((pdf.toString("latin1").match(/\/Type \/Page\b/g) ?? []).length).toBe(1);
  await page.close();
});

// Of all lots of the demo these have the longest verdicts, the most runs and files, and each number of steps.
const longest = [3, 11, 19, 27, 33, 34, 36];
test.each(["A4", "Letter"])(
  "the full report of the lots with most to say is one page of %s each",
  { timeout: 180_000 },
  async (format) => {
    const { page } = await served.open("#/lots");
    const address = new URL(`api/sheets?ids=${longest.join(",")}&report=full`, page.url()).href;
    await page.goto(address, { timeout: 120_000 });
    expect(await page.locator("article.sheet.full").count()).toBe(longest.length);
    const pdf = await page.pdf({ format });
    expect((pdf.toString("latin1").match(/\/Type \/Page\b/g) ?? []).length).toBe(longest.length);
    await page.close();
  },
);
