import { chosenLocale } from "#ui/data/numberMarks.ts";

const usual = "en-GB";

/** Locales by how they write a number, each way once: English, this computer's, then those that are common. */
function ways(): readonly (readonly [example: string, locale: string])[] {
  const locales = [usual, chosenLocale(), navigator.language, "de-DE", "fr-FR", "de-CH"];
  const byExample = new Map<string, string>();
  for (const locale of locales) {
    if (locale === null) continue;
    const example = new Intl.NumberFormat(locale, { useGrouping: "always" }).format(1234.5);
    if (!byExample.has(example)) byExample.set(example, locale);
  }
  return [...byExample];
}

/** Which marks the numbers of the page are written with; kept in this browser, and shown anew at once. */
export function NumberChoice() {
  return (
    <label class="no-print">
      Numbers as{" "}
      <select
        value={chosenLocale() ?? usual}
        onChange={({ currentTarget: { value } }) => {
          if (value === usual) localStorage.removeItem("numbers");
          else localStorage.setItem("numbers", value);
          location.reload();
        }}
      >
        {ways().map(([example, locale]) => (
          <option key={locale} value={locale} translate={false}>
            {example}
          </option>
        ))}
      </select>
    </label>
  );
}
