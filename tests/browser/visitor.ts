import type { Locator, Page } from "playwright-core";

/** How somebody works the page: with a pointer alone, or with the keyboard alone. */
export const hands = ["pointer", "keyboard"] as const;
export type Hand = (typeof hands)[number];

/** Further than this nobody walks with Tab to what they want next. */
const mostSteps = 60;

/** Files let go over the page, as from a folder beside it. */
export async function dropFiles(
  page: Page,
  files: readonly { readonly name: string; readonly text: string }[],
): Promise<void> {
  const held = await page.evaluateHandle((given) => {
    const transfer = new DataTransfer();
    for (const { name, text } of given) transfer.items.add(new File([text], name, { type: "text/csv" }));
    return transfer;
  }, files);
  await page.dispatchEvent(".sheet", "drop", { dataTransfer: held });
}

/** Somebody at the page. Each click, paste, choice or command is one action; walking to it with Tab is none. */
export class Visitor {
  #page: Page;
  #hand: Hand;
  actions = 0;
  /** Presses of Tab on the way. */
  steps = 0;

  constructor(page: Page, hand: Hand) {
    this.#page = page;
    this.#hand = hand;
  }

  async press(target: Locator): Promise<void> {
    this.actions++;
    if (this.#hand === "pointer") return target.click();
    await this.#walkTo(target);
    await this.#page.keyboard.press("Enter");
  }

  /** Ticks or unticks a box. */
  async tick(box: Locator): Promise<void> {
    this.actions++;
    if (this.#hand === "pointer") return box.click();
    await this.#walkTo(box);
    await this.#page.keyboard.press("Space");
  }

  async paste(field: Locator, text: string): Promise<void> {
    this.actions++;
    if (this.#hand === "pointer") await field.click();
    else await this.#walkTo(field);
    await this.#page.keyboard.insertText(text);
  }

  /** Goes to a place or lot: by what is shown for it, or by its name in "Go to". */
  async goTo(name: string, choose: () => Promise<void>): Promise<void> {
    this.actions++;
    if (this.#hand === "pointer") return choose();
    await this.#page.keyboard.press("Control+k");
    const dialog = this.#page.getByRole("dialog");
    await dialog.getByRole("combobox").waitFor();
    await this.#page.keyboard.type(name);
    await dialog
      .getByRole("option", { name: new RegExp(name, "i") })
      .first()
      .waitFor();
    await this.#page.keyboard.press("Enter");
  }

  async #walkTo(target: Locator): Promise<void> {
    await target.waitFor();
    const isThere = () => target.evaluate((e) => e === document.activeElement);
    for (let i = 0; i < mostSteps; i++) {
      if (await isThere()) return;
      this.steps++;
      await this.#page.keyboard.press("Tab");
    }
    throw new Error(`not reached with ${mostSteps} presses of Tab: ${target}`);
  }
}
