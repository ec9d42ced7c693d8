import { makeApp } from "./app.ts";
import type { Labs } from "./labs.ts";
import type { Store } from "./store/store.ts";

/** What serves one store, with all but the store. */
type World = Omit<Parameters<typeof makeApp>[0], "store" | "lab">;

/** A server as the Node adapter takes it; `environment` is what it lends the app. */
type Answering = (request: Request, environment?: object) => Promise<Response>;

/** Where the demo stays once the own lab is started. */
const demoPath = "/demo";

/**
 * The whole server over both labs: until the own one is started the demo answers at every path, afterwards under
 * /demo/ alone. What is there of page and API is the same in both.
 */
export function makeLabsApp(labs: Labs, world: World): { readonly fetch: Answering } {
  const { own, demo } = labs;
  const appFor = (store: Store, shown: (isOwnStarted: boolean) => "demo" | "own") =>
    makeApp({
      ...world,
      store,
      lab: {
        async state() {
          const isOwnStarted = await labs.isStarted();
          return { shown: shown(isOwnStarted), isOwnStarted, hasDemo: demo !== null };
        },
        start: labs.start,
      },
    });
  const ownApp = appFor(own, () => "own");
  if (demo === null) return { fetch: async (request, environment) => ownApp.fetch(request, environment) };
  // Before the start the demo stands in for the own lab: asked at / whether it was started, it says what / shows next.
  const standIn = appFor(demo, (isOwnStarted) => (isOwnStarted ? "own" : "demo"));
  const demoApp = appFor(demo, () => "demo");
  return {
    async fetch(request, environment) {
      const url = new URL(request.url);
      if (url.pathname === demoPath)
        return new Response(null, { status: 308, headers: { location: `${demoPath}/${url.search}` } });
      if (url.pathname.startsWith(`${demoPath}/`)) {
        url.pathname = url.pathname.slice(demoPath.length);
        return demoApp.fetch(new Request(url, request), environment);
      }
      // A database that does not answer is for the own lab's app to speak of.
      const isOwn = await labs.isStarted().catch(() => true);
      return (isOwn ? ownApp : standIn).fetch(request, environment);
    },
  };
}
