import { createHash, randomBytes, scrypt, timingSafeEqual } from "node:crypto";
import { z } from "zod";

/** A password as it is kept: what scrypt made of it, with what it was made with. */
export const keptPassword = z.object({
  salt: z.string(),
  hash: z.string(),
  cost: z.number(),
  blockSize: z.number(),
  parallel: z.number(),
});
export type KeptPassword = z.output<typeof keptPassword>;

/** Source: OWASP Password Storage Cheat Sheet, scrypt (N = 2^17, r = 8, p = 1), from memory. */
const asOfNow = { cost: 2 ** 17, blockSize: 8, parallel: 1 } as const;
const hashBytes = 32;
export const shortestPassword = 12;
/** Longer ones only cost time. */
export const longestPassword = 200;

/** A first password: 120 bits of chance, to be changed by whoever gets it. */
export const madePassword = (): string => randomBytes(15).toString("base64url");

export async function keepPassword(password: string, cost: number = asOfNow.cost): Promise<KeptPassword> {
  const salt = randomBytes(16);
  const made = { ...asOfNow, cost };
  const hash = await scryptOf(password, salt, made);
  return { salt: salt.toString("base64"), hash: hash.toString("base64"), ...made };
}

/** For a name that nobody has, `kept` is null: it takes as long to say no. */
export async function isPassword(password: string, kept: KeptPassword | null): Promise<boolean> {
  const against = kept ?? { salt: "", hash: Buffer.alloc(hashBytes).toString("base64"), ...asOfNow };
  const hash = await scryptOf(password, Buffer.from(against.salt, "base64"), against);
  return timingSafeEqual(hash, Buffer.from(against.hash, "base64")) && kept !== null;
}

type Cost = Pick<KeptPassword, "cost" | "blockSize" | "parallel">;

function scryptOf(password: string, salt: Buffer, { cost, blockSize, parallel }: Cost): Promise<Buffer> {
  const options = { N: cost, r: blockSize, p: parallel, maxmem: 256 * cost * blockSize };
  // The same signs typed on another keyboard are the same password. Source: NIST SP 800-63B, NFKC or NFKD.
  const text = password.normalize("NFKC");
  return new Promise((resolve, reject) =>
    scrypt(text, salt, hashBytes, options, (fault, hash) => (fault === null ? resolve(hash) : reject(fault))),
  );
}

/** What is kept of a token or cookie, which are random and long enough for a quick hash. */
export const hashOfSecret = (secret: string) => createHash("sha256").update(secret).digest("base64");
