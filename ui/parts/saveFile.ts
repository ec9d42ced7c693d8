/** Hands a file made on this page to the browser's downloads. */
export function saveFile(name: string, type: string, content: string | Blob): void {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(typeof content === "string" ? new Blob([content], { type }) : content);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}
