/** Bytes as a request can carry them; the browser itself turns even large ones quickly. */
export function base64Of(bytes: Uint8Array): Promise<string> {
  return new Promise((resolve, reject) => {
    const reader = new FileReader();
    reader.onload = () => resolve(String(reader.result).replace(/^[^,]*,/, ""));
    reader.onerror = () => reject(new Error("The file can no longer be read; choose it again."));
    reader.readAsDataURL(new Blob([new Uint8Array(bytes)]));
  });
}
