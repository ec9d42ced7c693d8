import { z } from "zod";

/** A signature by Ed25519 (RFC 8032), with the key it can be checked by. */
export const signatureFields = z.object({
  /** The public key, SPKI in DER (RFC 8410), as base64. */
  key: z.string(),
  /** Of the UTF-8 bytes of what is signed, as base64. */
  value: z.string(),
});
export type Signature = z.infer<typeof signatureFields>;

/**
 * Whose a signature is: of this lab's key, of another's, of nobody's (there is none), or one that does not fit what it
 * stands under.
 */
export const signatureStates = ["own", "foreign", "none", "forged"] as const;
export type SignatureState = (typeof signatureStates)[number];
