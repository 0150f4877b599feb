// What docs/page.md says is legible at which scale of the chart, against the texts that are drawn there.
import { readFileSync } from "node:fs";
import type { Page } from "playwright-core";
import { describe, expect, it } from "vitest";
import type { AboutDocument, ChartDocument, RibbonDocument } from "../src/api/pictures";
import type { CardDocument } from "../src/api/generated";
import { drawn } from "./browser";
import { demo, demo_search } from "./demo";
import { served } from "./served";

const service = served();
const middle = "40.8,-168.9";

/** Keeps every text that any canvas is asked to draw. */
const keep_texts = (page: Page) =>
  page.addInitScript(() => {
    const drawn = new Set<string>();
    (globalThis as unknown as { drawn_texts: Set<string> }).drawn_texts = drawn;
    const { fillText } = CanvasRenderingContext2D.prototype;
    CanvasRenderingContext2D.prototype.fillText = function (text: string, ...where: [number, number, number?]) {
      drawn.add(text);
      return fillText.call(this, text, ...where);
    };
  });

/** A row of the table in docs/page.md: up to how many metres to a pixel. */
const documented = (what: string): number => {
  const row = readFileSync(new URL("../../docs/page.md", import.meta.url), "utf8").split("\n").find((line) => line.startsWith(`| ${what}`));
  if (!row) throw new Error(`docs/page.md has no row '${what}'`);
  return Number(row.split("|")[2]!.replace(",", ""));
};

async function texts_at(where: string, metres: number): Promise<string[]> {
  const { page } = await service.open_nothing();
  await keep_texts(page);
  await page.goto(`${service.address}/${demo_search}&chart=${where},${metres}`);
  await drawn(page);
  await page.waitForLoadState("networkidle");
  const texts = await page.evaluate(() => [...(globalThis as unknown as { drawn_texts: Set<string> }).drawn_texts]);
  await page.context().close();
  return texts;
}

describe("the chart", () => {
  it("shows marker beacons at the scales that the documentation says, about an airport that has some", async () => {
    const up_to = documented("marker beacons of an ILS");
    for (const metres of [up_to - 10, up_to + 10]) {
      const texts = await texts_at("39.93,-169.76", metres);
      expect(texts.some((text) => text === "OM" || text === "MM"), `at ${metres} m to a pixel`).toBe(metres <= up_to);
    }
  });

  it("shows at each scale what the documentation says, and not what it leaves out", { timeout: 120_000 }, async () => {
    const about = await service.document<AboutDocument>("/v1/about");
    const { west_deg, south_deg, east_deg, north_deg } = about.chart!;
    const chart = await service.document<ChartDocument>(`/v1/chart?west=${west_deg}&south=${south_deg}&east=${east_deg}&north=${north_deg}`);
    const card = await service.document<CardDocument>("/v1/card", demo);
    const ribbon = await service.document<RibbonDocument>("/v1/ribbon", { card });
    const used = new Set(ribbon.hearing.filter((heard) => heard.needed).map((heard) => `${heard.station} ${heard.frequency}`));
    const label = (station: ChartDocument["stations"][number]) => `${station.ident} ${station.frequency}`;
    const kinds: ReadonlyArray<{ readonly what: string; readonly up_to: number; readonly is: (text: string) => boolean }> = [
      { what: "frequencies of other stations", up_to: documented("other stations' frequencies"), is: (text) => chart.stations.some((one) => label(one) === text && !used.has(text)) },
      { what: "names of airports", up_to: documented("names of airports"), is: (text) => chart.airports.some((one) => one.ident === text) },
      { what: "designators of airways", up_to: documented("designators of airways"), is: (text) => chart.airways.some((one) => text.split(/\s/)[0] === one.designator) },
      { what: "courses of airways", up_to: documented("course, minimum and distance of airways"), is: (text) => /\d NM$/.test(text) },
      { what: "names of fixes", up_to: documented("course, minimum and distance of airways"), is: (text) => chart.fixes.some((one) => one.ident === text) },
    ];
    const scales = [...new Set(kinds.flatMap(({ up_to }) => [up_to - 10, up_to + 10]))].sort((one, other) => other - one);
    for (const metres of scales) {
      const texts = await texts_at(middle, metres);
      expect(texts.some((text) => used.has(text)), `a station in use at ${metres} m`).toBe(true);
      for (const { what, up_to, is } of kinds) expect(texts.some(is), `${what} at ${metres} m to a pixel`).toBe(metres <= up_to);
    }
  });
});
