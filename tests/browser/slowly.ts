import type { Page } from "playwright-core";

const longestDelayMs = 700;

/**
 * Before a page is opened: its server answers each question later than the last or sooner, by chance that a seed repeats;
 * and what the page says meanwhile is written down.
 */
export async function answerSlowly(page: Page, seed: number): Promise<void> {
  let state = seed;
  const chance = () => {
    state = (state * 1103515245 + 12345) % 0x80000000;
    return state / 0x80000000;
  };
  await page.route("**/api/**", async (route) => {
    const delayMs = longestDelayMs * chance();
    await new Promise((resolve) => setTimeout(resolve, delayMs));
    // The page may be gone by then.
    await route.continue().catch(() => {});
  });
  await page.addInitScript(writeDown);
}

/** The sentences that the page has taken back: they neither stand there now, or go on there, nor say that they wait. */
export async function takenBack(page: Page): Promise<string[]> {
  const { said, now } = await page.evaluate(() => {
    const heard: unknown = Reflect.get(window, "said");
    return {
      said: heard instanceof Set ? [...heard].map(String) : [],
      now: [...document.querySelectorAll("h1, .lead, [role=status]")].map((each) => each.textContent ?? ""),
    };
  });
  const stands = (sentence: string) => now.some((other) => other.includes(sentence.replace(/\.$/, "")));
  return said.flatMap((one) => one.split(/(?<=\.) /)).filter((one) => !one.includes("…") && !stands(one));
}

function writeDown(): void {
  const said = new Set<string>();
  Object.assign(window, { said });
  const look = () => {
    for (const each of document.querySelectorAll("h1, .lead, [role=status]"))
      said.add(each.textContent ?? "");
  };
  new MutationObserver(look).observe(document, { subtree: true, childList: true, characterData: true });
}
