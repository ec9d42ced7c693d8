import { options, type VNode } from "preact";
import { bands, lots } from "#ui/data/entries.ts";
import { decimalMark, shownAs } from "#ui/data/numberMarks.ts";

/** The marks of a locale. */
interface NumberMarks {
  readonly decimal: string;
  readonly group: string;
}

export function marksOf(locale: string): NumberMarks {
  const parts = new Intl.NumberFormat(locale, { useGrouping: "always" }).formatToParts(12345.6);
  const mark = (type: "decimal" | "group") => parts.find((part) => part.type === type)?.value ?? "";
  return { decimal: mark("decimal"), group: mark("group") };
}

/** A number as sentences and figures write it: 3.41, 6,280, 1,234.5; no part of a version, a name or a list. */
const english = /(?<![\w.,])(?:\d{1,3}(?:,\d{3})+(?:\.\d+)?|\d+\.\d+)(?!\d|[.,]\d)/g;

/** The numbers of an English text with other marks; names that hold such a number stay as they were given. */
export function withMarks(text: string, marks: NumberMarks, names: readonly string[] = []): string {
  const marked = (part: string) =>
    part.replace(english, (number) =>
      number.replace(/[.,]/g, (mark) => (mark === "." ? marks.decimal : marks.group)),
    );
  const kept = names.filter((name) => name !== "" && text.includes(name));
  if (kept.length === 0) return marked(text);
  const name = new RegExp(`(${kept.map((each) => each.replace(/[^\w\s]/g, "\\$&")).join("|")})`);
  return text
    .split(name)
    .map((part, i) => (i % 2 === 1 ? part : marked(part)))
    .join("");
}

/** Shows every number of the page with the marks of a locale: each text that is drawn goes through here. */
export function showNumbersAs(locale: string): void {
  const marks = marksOf(locale);
  const names = () =>
    [
      ...lots.peek().flatMap(({ name, material }) => [name, material]),
      ...bands.peek().map(({ band }) => band.name),
    ].filter((name) => /\d[.,]\d/.test(name));
  decimalMark.value = marks.decimal;
  shownAs.value = (text) => (/\d[.,]\d/.test(text) ? withMarks(text, marks, names()) : text);
  const before = options.vnode;
  options.vnode = (vnode) => {
    if (typeof vnode.type === "string") localise(vnode);
    before?.(vnode);
  };
}

const saidAside = ["aria-label", "aria-valuetext", "title", "label"] as const;

function localise({ props }: VNode<Record<string, unknown>>): void {
  if (props["translate"] === false) return;
  for (const name of saidAside) {
    const said = props[name];
    if (typeof said === "string") props[name] = shownAs.peek()(said);
  }
  props.children = localisedChild(props.children);
}

function localisedChild(child: VNode["props"]["children"]): typeof child {
  if (typeof child === "string") return shownAs.peek()(child);
  if (typeof child === "number") return shownAs.peek()(String(child));
  return Array.isArray(child) ? child.map(localisedChild) : child;
}
