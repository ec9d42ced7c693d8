/**
 * Adds the styles of a part that is fetched later, so that they travel with it and not with the first view.
 *
 * @param css  as the build gives it for `….css?inline`
 */
export function addStyles(css: string): void {
  const sheet = new CSSStyleSheet();
  sheet.replaceSync(css);
  document.adoptedStyleSheets = [...document.adoptedStyleSheets, sheet];
}
