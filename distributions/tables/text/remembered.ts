/**
 * A function of one text that remembers its latest results, so that the same heading is taken apart once for all that ask.
 * The function must be pure: what is remembered is what would be worked out again.
 */
export function remembered<T>(work: (text: string) => T, most = 2000): (text: string) => T {
  const results = new Map<string, { readonly value: T }>();
  return (text) => {
    const known = results.get(text);
    if (known !== undefined) return known.value;
    const value = work(text);
    // Emptied at once: dropping the oldest alone would cost more than it saves.
    if (results.size >= most) results.clear();
    results.set(text, { value });
    return value;
  };
}
