// What the tests of the page run against: the service at OMNIWAY_SERVICE, else the stand-in with its kept documents.
import type { Browser, BrowserContext, BrowserContextOptions, Page } from "playwright-core";
import { afterAll, afterEach, beforeAll } from "vitest";
import { browser, faults_of } from "./browser";
import { type MockService, mock_service } from "./mock_service";

let mock: MockService | null = null;
let chromium: Browser | null = null;
let context: BrowserContext | null = null;

export interface Served {
  address: string;
  /** A page with an empty cache and nothing remembered, of 1440 by 900 unless told otherwise, and the faults it reports. */
  open(search: string, options?: BrowserContextOptions): Promise<{ page: Page; faults: string[] }>;
  /** The same with nothing in it, for what must stand before the page comes. */
  open_nothing(options?: BrowserContextOptions): Promise<{ page: Page; faults: string[] }>;
  /** The document that the service answers. */
  document<Document>(path: string, body?: unknown): Promise<Document>;
}

/** Starts it for the tests of a file, or takes what is served elsewhere. */
export function served(elsewhere = process.env["OMNIWAY_SERVICE"] ?? ""): Served {
  const made: Served = {
    address: elsewhere,
    async open_nothing(options = {}) {
      if (!chromium) throw new Error("the browser is not there yet");
      context = await chromium.newContext({ viewport: { width: 1440, height: 900 }, ...options });
      const page = await context.newPage();
      return { page, faults: faults_of(page) };
    },
    async open(search, options) {
      const opened = await made.open_nothing(options);
      await opened.page.goto(`${made.address}/${search}`);
      return opened;
    },
    async document<Document>(path: string, body?: unknown) {
      const init = body === undefined ? {} : { method: "POST", body: JSON.stringify(body), headers: { "content-type": "application/json" } };
      return (await (await fetch(made.address + path, init)).json()) as Document;
    },
  };
  beforeAll(async () => {
    chromium = await browser();
    if (made.address !== "") return;
    mock = await mock_service();
    made.address = mock.address;
  });
  afterEach(async () => {
    await context?.close();
    context = null;
  });
  afterAll(async () => {
    await chromium?.close();
    await mock?.close();
  });
  return made;
}
