import type { OpenAPIHono } from "@hono/zod-openapi";
import { z } from "@hono/zod-openapi";
import { html, raw } from "hono/html";

const content = z.record(
  z.string(),
  z.looseObject({ schema: z.unknown().optional(), example: z.unknown().optional() }),
);
const operation = z.object({
  operationId: z.string(),
  summary: z.string().default(""),
  description: z.string().default(""),
  tags: z.array(z.string()),
  parameters: z
    .array(
      z.object({
        name: z.string(),
        in: z.string(),
        required: z.boolean().default(false),
        description: z.string().default(""),
        schema: z.unknown().optional(),
      }),
    )
    .default([]),
  requestBody: z.object({ content }).optional(),
  responses: z.record(z.string(), z.object({ description: z.string(), content: content.default({}) })),
});
const document = z.object({
  info: z.object({ title: z.string(), version: z.string(), description: z.string() }),
  paths: z.record(z.string(), z.record(z.string(), operation)),
  tags: z.array(z.object({ name: z.string() })),
  components: z.object({ schemas: z.record(z.string(), z.unknown()) }),
});
type Operation = z.output<typeof operation>;

/**
 * The API's document as a page to read: every operation with its parameters, an example of its body, its answers and
 * their shapes. It runs nothing and fetches nothing. Made from the document at the first request, and kept.
 */
export function docsPage(app: OpenAPIHono, documentText: () => string): void {
  let page: Promise<string> | null = null;
  app.get("/api/docs", async (c) => {
    page ??= pageOf(documentText());
    return c.html(await page);
  });
}

async function pageOf(text: string): Promise<string> {
  const { info, paths, tags, components } = document.parse(JSON.parse(text));
  const listed = Object.entries(paths).flatMap(([path, methods]) =>
    Object.entries(methods).map(([method, one]) => ({ path, method: method.toUpperCase(), one })),
  );
  const parts = tags.map(({ name }) => ({
    name,
    operations: listed.filter(({ one }) => one.tags.includes(name)),
  }));
  return `${await html`<!doctype html>
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width" />
        <title>${info.title} ${info.version}: API</title>
        <style>${raw(style)}</style>
      </head>
      <body>
        <main>
          <h1>${info.title} ${info.version}: API</h1>
          <p>${info.description}. The same for programs: <code>/api/openapi.json</code>.</p>
          <nav aria-label="Operations">
            ${parts.map(
              ({ name, operations }) => html`<h2>${name}</h2>
                <table>
                  ${operations.map(
                    ({ method, path, one }) => html`<tr>
                      <td>${method}</td>
                      <td><a href="#${one.operationId}">${path}</a></td>
                      <td>${one.summary}</td>
                    </tr>`,
                  )}
                </table>`,
            )}
          </nav>
          ${parts.map(
            ({ name, operations }) => html`<h2>${name}</h2>
              ${operations.map(({ method, path, one }) => section(`${method} ${path}`, one))}`,
          )}
          <h2 id="shapes">Shapes</h2>
          ${Object.entries(components.schemas).map(
            ([name, schema]) => html`<details id="shape-${name}">
              <summary>${name}</summary>
              <pre>${JSON.stringify(schema, null, 2)}</pre>
            </details>`,
          )}
        </main>
      </body>
    </html>`}`;
}

function section(title: string, one: Operation) {
  const [type, body] = Object.entries(one.requestBody?.content ?? {})[0] ?? [];
  return html`<section>
    <h3 id="${one.operationId}">${title}</h3>
    <p>${one.summary}. ${one.description}</p>
    ${
      one.parameters.length === 0
        ? ""
        : html`<table>
          ${one.parameters.map(
            (each) => html`<tr>
              <td><code>${each.name}</code></td>
              <td>${each.in}${each.required ? ", required" : ""}</td>
              <td>${each.description}</td>
            </tr>`,
          )}
        </table>`
    }
    ${
      body === undefined
        ? ""
        : html`<p>Body, ${type}, such as</p>
          <pre>${JSON.stringify(body.example, null, 2)}</pre>
          <details>
            <summary>Its shape</summary>
            <pre>${JSON.stringify(body.schema, null, 2)}</pre>
          </details>`
    }
    ${Object.entries(one.responses).map(([status, answer]) => answerPart(status, answer))}
  </section>`;
}

function answerPart(status: string, { description, content: forms }: Operation["responses"][string]) {
  const shapes = Object.entries(forms);
  const heading = `${status === "default" ? "any other" : status}: ${description}`;
  if (shapes.length === 0) return html`<p>${heading}</p>`;
  return html`<details>
    <summary>${heading} (${shapes.map(([type]) => type).join(", ")})</summary>
    ${shapes.map(([, { schema }]) => html`<pre>${JSON.stringify(schema, null, 2)}</pre>`)}
  </details>`;
}

const style =
  "body{font:15px/1.5 system-ui,sans-serif;margin:0;color:#1c2024;background:#fff}main{max-width:60rem;margin:0 auto;padding:1.5rem}h2{font-size:1.25rem;margin-top:2.5rem;border-top:1px solid #c8ccd0;padding-top:1rem}nav h2{font-size:1rem;margin:1.2rem 0 .3rem;border:0;padding:0}h3{font-size:1.05rem;margin-top:2rem}table{border-collapse:collapse}td{padding:.15rem .8rem .15rem 0;vertical-align:top}pre{background:#f3f4f5;padding:.6rem;overflow:auto;max-height:30rem}a{color:#0b57a4}@media (prefers-color-scheme:dark){body{color:#e6e8ea;background:#16191c}pre{background:#22262a}a{color:#8ec1ff}}";
