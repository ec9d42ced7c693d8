import { readFileSync } from "node:fs";
import type { Locator } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { serve } from "./served.ts";

let served: Awaited<ReturnType<typeof serve>>;
beforeAll(async () => {
  served = await serve();
});
afterAll(() => served?.stop());

/** What it says; a number and its unit never part, so the space between them is one that does not break. */
const wordsOf = async (place: Locator) => ((await place.textContent()) ?? "").replaceAll("\u00a0", " ");

describe("the equipment in a real browser", () => {
  test("a trial is excluded with its reason, once however often it is pressed, and is included again", async () => {
    const { page, faults } = await served.open("#/equipment");
    const sent: string[] = [];
    await page.route("**/api/**", async (route) => {
      if (route.request().method() === "GET") return route.continue();
      sent.push(route.request().method());
      // Long enough for the second press.
      await new Promise((done) => setTimeout(done, 300));
      return route.continue();
    });
    const before = await wordsOf(page.locator("h1"));
    const trial3 = page.getByRole("gridcell", { name: /^D50 of trial 3:/ });
    await trial3.click();
    await page.getByRole("button", { name: "Exclude trial 3" }).click();
    await page.getByLabel("Reason", { exact: true }).fill("the sieve was torn");
    await page.getByRole("button", { name: "Exclude trial 3" }).dblclick();
    await page.getByText("excluded: the sieve was torn").waitFor();
    expect(sent).toHaveLength(1);
    expect(await wordsOf(page.locator("h1"))).not.toBe(before);
    await page.reload();
    await trial3.click();
    await page.getByRole("button", { name: "Include trial 3 again" }).click();
    await page.locator("h1", { hasText: before }).waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });

  test("a new trial takes D10 and D90, or its whole curve with its open questions asked in place", async () => {
    const { page, faults } = await served.open("#/equipment");
    await page.getByText("Add a trial").click();
    await page.getByLabel("Trial speed").fill("8000");
    const table = readFileSync(
      new URL("../../distributions/samples/mill/curves/trial-7.csv", import.meta.url),
      "utf8",
    )
      .split("\n")
      .slice(1)
      .join("\n");
    await page.getByLabel("Whole curve of the trial (paste its table)", { exact: true }).fill(table);
    await page.getByRole("button", { name: /^volume/ }).click();
    // The reader is fetched with the first table.
    await expect.poll(() => page.getByLabel("D50 measured").inputValue()).toMatch(/^2\.5/);
    expect(await page.getByLabel("D90 measured").inputValue()).toMatch(/^4\./);
    await page.getByRole("button", { name: "Save the trial", exact: true }).click();
    await page.getByText("nine trials").waitFor();
    await page.getByLabel(/Or paste several trials/).fill("speedRpm,d50Um,d90Um\n7000,2.6,4.8\n7200,x,4\n");
    await page.getByText(/d50Um must be a number above zero/).waitFor();
    await page.getByRole("button", { name: "Save one trial" }).click();
    await page.getByText("ten trials").waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });

  test("a mill's wrong entry is said in words beside its field", async () => {
    const { page } = await served.open("#/equipment");
    await page.getByLabel("Wheel radius").fill("0");
    await page.getByText("Must be above 0 m.").waitFor();
    await page.getByRole("button", { name: "Save the mill" }).click();
    const alert = page.getByRole("alert");
    await alert.waitFor();
    expect(await alert.textContent()).toMatch(/wheel's radius/);
    expect(await alert.textContent()).not.toMatch(/wheelRadiusM/);
    await page.close();
  });

  test("a flow may be given in normal cubic metres, and both are shown; a nozzle pressure gives the power of the jets", async () => {
    const { page, faults } = await served.open("#/equipment");
    await page.getByText("Equal to 167 normal m³/h.").waitFor();
    await page.getByLabel("Gas flow given").selectOption("normal");
    await page.getByLabel("Gas flow, normal").fill("180");
    await page.getByText(/Equal to 204 m³\/h at the temperature and pressure of the wheel/).waitFor();
    await page.getByLabel("Absolute pressure before the nozzles").fill("0.5");
    await page.getByText("Must be above the pressure at the wheel").waitFor();
    await page.getByLabel("Absolute pressure before the nozzles").fill("7");
    await page.getByRole("button", { name: "Save the mill" }).click();
    await page.getByRole("link", { name: "Wheel plan", exact: true }).click();
    await page.getByText(/radial gas speed at its rim/).waitFor();
    await page.getByRole("button", { name: "Show throughput, yield and energy" }).click();
    await page.getByText(/kWh\/kg/).waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });

  test("three pasted streams give a grade-efficiency curve", async () => {
    const { page, faults } = await served.open("#/equipment");
    await page.getByText("Stream balance of a separator").click();
    const sample = (stage: string) =>
      readFileSync(
        new URL(`../../distributions/samples/lots/garnet-07/${stage}.csv`, import.meta.url),
        "utf8",
      );
    await page.getByLabel("Feed (paste its table)", { exact: true }).fill(sample("crushed"));
    await page.getByText("Still needed: fines and coarse.").waitFor();
    await page.getByLabel("Fines (paste their table)", { exact: true }).fill(sample("milled"));
    await page.getByLabel("Coarse (paste its table)", { exact: true }).fill(sample("fired"));
    await page.getByText(/The separator cuts at .* bypass/).waitFor();
    await page.getByText(/the mass balance does not close/).waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });

  test("a balance is saved as far as it was entered, also where a table is read late", async () => {
    const { page, faults } = await served.open("#/equipment");
    await page.route("**/readTable*.js", async (route) => {
      await new Promise((resolve) => setTimeout(resolve, 1000));
      await route.continue();
    });
    await page.getByText("Stream balance of a separator").click();
    await page
      .getByLabel("Fines (paste their table)", { exact: true })
      .fill("lower,upper,volume %\n1,2,30\n2,4,50\n4,8,20\n");
    await page.getByLabel("Fine yield, if weighed").fill("40");
    await page.getByLabel("Name of the balance").fill("5,400 rpm");
    await page.getByRole("button", { name: "Save the balance" }).click();
    await page.getByRole("button", { name: "Delete 5,400 rpm" }).waitFor();
    await page.reload();
    await page.getByText("Stream balance of a separator").click();
    await page.getByText("Saved fines: 3 classes, D50 2.64 µm.").waitFor();
    await page.getByText("Still needed: feed and coarse.").waitFor();
    expect(await page.getByLabel("Fine yield, if weighed").inputValue()).toBe("40");
    await page.getByLabel("Balance", { exact: true }).selectOption({ label: "new balance" });
    await page.getByText("Still needed: feed, fines and coarse.").waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });

  test("a batch: one measurement gives the rate, and the time to a size", async () => {
    const { page, faults } = await served.open("#/equipment");
    await page.getByText("Batch mill: grinding time").click();
    await page.getByLabel("Sampled after").fill("30");
    await page.getByLabel("D50 of the sample").fill("6");
    await page.getByLabel("Target D50 of the batch").fill("3");
    await page.getByText(/D50 3.00 µm takes \d+(\.\d+)? min/).waitFor();
    const keep = page.getByRole("button", { name: "Save the batch with the lot" });
    await keep.click();
    await expect.poll(() => keep.isDisabled()).toBe(true);
    await page.reload();
    await page.getByText("Batch mill: grinding time").click();
    await page.getByText(/D50 3.00 µm takes \d+(\.\d+)? min/).waitFor();
    expect(await page.getByLabel("Sampled after").inputValue()).toBe("30");
    await page.getByLabel("Exponent of the breakage function").fill("0");
    await page.getByText("Must be above zero.").waitFor();
    await page.getByLabel("Exponent of the breakage function").fill("1.4");
    await page.getByLabel("D50 of the sample").fill("60");
    await page.getByText(/is not finer than at the start/).waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });

  test("a jet mill without a wheel is predicted from its own trials, and suggests nothing without a rating", async () => {
    const { page, faults } = await served.open("#/equipment");
    await page.getByText("Jet mill without a classifier wheel").click();
    await page.getByText(/There is no trial yet/).waitFor();
    await page
      .getByLabel(/Trials of the jet mill, under the headings/)
      .fill("pressureBar,feedKgPerH,d50Um\n5,8,5\n6,8,4.6\n8,8,4\n");
    await page.getByLabel("Target D50 of the jet mill").fill("4.2");
    await page.getByText(/No pressure is suggested: no rated pressure is entered/).waitFor();
    await page.getByLabel("Rated pressure, from the plate").fill("9");
    await page.getByText(/Set 7\.\d+ bar \(90 %: .*\) for D50 4.20 µm/).waitFor();
    await page.getByLabel("Nozzle pressure", { exact: true }).fill("10");
    await page.getByText(/10.0 bar is above the rated 9.00 bar/).waitFor();
    await page.getByRole("img", { name: /D50 against nozzle pressure/ }).waitFor();
    await page.getByLabel("Name of the jet mill").fill("Flat mill");
    await page.getByRole("button", { name: "Save the jet mill and its trials" }).click();
    await page.getByRole("button", { name: "Delete Flat mill" }).waitFor();
    await page.reload();
    await page.getByText("Jet mill without a classifier wheel").click();
    await page.getByLabel("Target D50 of the jet mill").fill("4.2");
    await page.getByText(/Set 7\.\d+ bar \(90 %: .*\) for D50 4.20 µm/).waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });
});
