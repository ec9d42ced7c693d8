// `npm run dev`: one server for page and API that takes each saved change up itself.
// The page is served from its sources and reloads when one of them changes (styles change in place); the API is loaded
// from its sources too, and loaded anew with the first request after a change. Nothing is built.
// It keeps its data apart in .cache/dev unless FINEBAND_DATA or DATABASE_URL says where; PORT and HOST as for `npm start`.
import { mkdirSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { getRequestListener } from "@hono/node-server";
import { createServer } from "vite";

const top = fileURLToPath(new URL("..", import.meta.url));
const dataFolder = `${top}.cache/dev`;
mkdirSync(dataFolder, { recursive: true });

const host = process.env.HOST ?? "127.0.0.1";
if (!/^(?:localhost|127(?:\.\d{1,3}){3}|::1)$/.test(host)) {
  console.error(
    `npm run dev knows no accounts, so it serves this machine alone, not ${host}. Use npm start.`,
  );
  process.exit(3);
}

/** The API over one open store: made when it is first asked for, and again after a change. */
class FreshApi {
  #load;
  #made = null;

  constructor(load) {
    this.#load = load;
  }

  async fetch(request) {
    this.#made ??= this.#make();
    const made = this.#made;
    try {
      return await (await made).app.fetch(request);
    } catch (fault) {
      // A source that does not load is read again with the next request.
      if (this.#made === made) this.#made = null;
      return new Response(fault instanceof Error ? fault.stack : String(fault), { status: 500 });
    }
  }

  async #make() {
    const { whereaboutsOf } = await this.#load("store/database/database.ts");
    const { openLabs } = await this.#load("labs.ts");
    const { makeLabsApp } = await this.#load("labsApp.ts");
    const labs = await openLabs(whereaboutsOf(process.env, dataFolder), `${top}distributions/samples`);
    return { labs, app: makeLabsApp(labs, { uiFolder: null, log: (fault) => console.error(fault) }) };
  }

  /** Lets the open store go: what it is loaded from has changed, or the server ends. */
  async drop() {
    const made = this.#made;
    this.#made = null;
    await made?.then(
      ({ labs }) => labs.close(),
      () => undefined,
    );
  }
}

const api = new FreshApi((path) => server.ssrLoadModule(`${top}api/${path}`));
const answerApi = getRequestListener((request) => api.fetch(request));

const server = await createServer({
  configFile: `${top}ui/vite.config.ts`,
  cacheDir: `${top}.cache/vite`,
  server: {
    host,
    port: Number(process.env.PORT ?? 8417),
    strictPort: true,
    fs: { allow: [top] },
  },
  plugins: [
    {
      name: "api",
      configureServer: ({ middlewares }) => {
        middlewares.use((request, response, next) => {
          if (/^(\/demo)?\/api\//.test(request.url ?? "")) return answerApi(request, response);
          // The page is the same for both labs.
          request.url = request.url?.replace(/^\/demo(?=\/)/, "");
          next();
        });
      },
      async hotUpdate({ modules }) {
        if (this.environment.name === "ssr" && modules.length > 0) await api.drop();
      },
      closeBundle: () => api.drop(),
    },
  ],
});
await server.listen();
console.log(`Fineband is at ${server.resolvedUrls.local[0]}`);
process.once("SIGINT", () => {
  void server.close().then(() => process.exit(0));
});
