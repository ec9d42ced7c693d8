import type { SizeDistribution } from "#distributions/sizeDistribution.ts";

/**
 * A short text that two curves have in common only if they are the same curve: edges to five figures, shares to 1e-6. Of
 * a hundred thousand curves, two others meet by chance about once in 4e9 labs. The mixing is FNV-1a, twice with two
 * offsets (Fowler, Noll, Vo; 32 bits each). It finds doubles and protects nothing.
 */
export function curveMark({ quantity, lowerUm, upperUm, shares }: SizeDistribution): string {
  const numbers = [...lowerUm, ...upperUm].map((um) => um.toPrecision(5));
  const text = [quantity, ...numbers, ...shares.map((share) => share.toFixed(6))].join(" ");
  return `${mixed(text, 0x811c9dc5)}${mixed(text, 0x1b873593)}`;
}

function mixed(text: string, offset: number): string {
  let hash = offset;
  for (let i = 0; i < text.length; i++) hash = Math.imul(hash ^ text.charCodeAt(i), 0x01000193);
  return (hash >>> 0).toString(16).padStart(8, "0");
}
