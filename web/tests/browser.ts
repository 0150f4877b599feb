// Debian's Chromium, headless: no name is looked up, no host but the page's own is spoken to.
import { type Browser, chromium, type Page } from "playwright-core";

const executablePath = process.env["OMNIWAY_CHROMIUM"] ?? "/usr/bin/chromium";
const args = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"];

export const browser = (): Promise<Browser> => chromium.launch({ headless: true, executablePath, args });

/** Every fault that the page itself reports: a broken content security policy is among them. */
export function faults_of(page: Page): string[] {
  const faults: string[] = [];
  page.on("pageerror", (fault) => faults.push(String(fault)));
  page.on("console", (message) => {
    if (message.type() === "error") faults.push(message.text());
  });
  return faults;
}

/** Waits until route, ribbon and chart are drawn. */
export const drawn = (page: Page): Promise<unknown> =>
  page.waitForFunction(() => performance.getEntriesByName("omniway-drawn").length > 0 && document.querySelector(".panel") !== null);
