import { z } from "@hono/zod-openapi";
import { nameGiven } from "./fields.ts";
import { kindOf, overHttp } from "./kind.ts";

/** The lab's own picture that heads a customer's report: its bytes, in base64. */
export const logoFields = z.object({ name: z.string(), image: z.string() });

const kind = kindOf(logoFields, { list: "logos", title: (l) => `logo "${l.name}"` });

/** How the first bytes of a picture that a browser prints look in base64: \x89PNG\r\n\x1a\n and \xff\xd8\xff. */
const beginnings = { "image/png": "iVBORw0KGgo", "image/jpeg": "/9j/" } as const;

export type LogoType = keyof typeof beginnings;

/** What kind of picture the bytes are; null where they are none that is printed. */
export function logoType(image: string): LogoType | null {
  if (image.startsWith(beginnings["image/png"])) return "image/png";
  return image.startsWith(beginnings["image/jpeg"]) ? "image/jpeg" : null;
}

/** 150 kB, as base64. */
const longest = 200_000;

export const logo = overHttp(kind, {
  path: "/api/logos",
  body: z.object({
    name: nameGiven,
    image: z
      .base64({ error: "must be the bytes of a picture in base64" })
      .max(longest, { error: "must be at most 150 kB: save the picture smaller, 600 px wide is enough" })
      .refine((image) => logoType(image) !== null, {
        error: "must be a PNG or JPEG picture: save the logo as one of them",
      }),
  }),
  example: {
    name: "works.png",
    image: "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAAAAAA6fptVAAAACklEQVR4nGNgAAAAAgABSK+kcQAAAABJRU5ErkJggg==",
  },
  called: "Logo",
  listSummary: "The logos of customers' reports; the last one is printed",
  keepSummary: "Keep a logo for customers' reports: PNG or JPEG, at most 150 kB",
  made: "saved",
});
