const added = new Set<string>();

/**
 * Adds the styles of a part that is fetched later, once, when it is first shown: they travel with it and not with the
 * first view.
 *
 * @param css  as the build gives it for `….css?inline`
 */
export function addStyles(css: string): void {
  if (added.has(css)) return;
  added.add(css);
  const sheet = new CSSStyleSheet();
  sheet.replaceSync(css);
  document.adoptedStyleSheets = [...document.adoptedStyleSheets, sheet];
}
