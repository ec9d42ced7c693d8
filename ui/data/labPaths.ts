import { ask, attempt } from "./client.ts";

/** Where the own lab and the demo are, from a page that may be that of either. */
const isUnderDemo = () => location.pathname.endsWith("/demo/");
export const ownLabPath = (): string => (isUnderDemo() ? "../" : "./");
export const demoPath = (): string => (isUnderDemo() ? "./" : "demo/");

/** Starts the own lab, empty, and goes there: a new page, so that nothing of the demo is left in it. */
export function startOwnLab(): Promise<boolean> {
  return attempt(async () => {
    await ask("POST /api/lab", {});
    history.replaceState(null, "", `${ownLabPath()}#/lot`);
    location.reload();
  });
}
