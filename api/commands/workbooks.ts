import { UnusableInput } from "#api/faults.ts";
import { bytesOf, type World } from "./command.ts";

/** The same world with workbooks read as text, so that no verb has to know of them; one that is refused says so when it is read. */
export async function withWorkbooks(files: readonly string[], world: World): Promise<World> {
  const named = files.filter((file) => /\.xlsx$/i.test(file));
  if (named.length === 0) return world;
  const { isWorkbook, workbookText } = await import("#distributions/tables/workbook/workbook.ts");
  const texts = new Map<string, Uint8Array | UnusableInput>();
  for (const path of named) {
    try {
      const bytes = bytesOf(path, world);
      if (!isWorkbook(bytes)) continue;
      const text = await workbookText(bytes);
      texts.set(
        path,
        typeof text === "string"
          ? new TextEncoder().encode(text)
          : new UnusableInput(text.message, text.found, text.expected),
      );
    } catch (fault) {
      // The verb reads it again and says what is wrong with it.
      if (!(fault instanceof UnusableInput)) throw fault;
    }
  }
  if (texts.size === 0) return world;
  return {
    ...world,
    readFile(path) {
      const known = texts.get(path);
      if (known instanceof UnusableInput) throw known;
      return known ?? world.readFile(path);
    },
  };
}
