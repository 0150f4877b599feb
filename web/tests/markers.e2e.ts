// Marker beacons: the lamps of the panel (AIM table 1-1-3: outer blue, middle amber, inner and back course white), the ticks of the ribbon, the
// symbols of the chart. The demo flight ends at no ILS, so its panel is told which lamp is lit.
import type { Page } from "playwright-core";
import { describe, expect, it } from "vitest";
import type { ChartDocument, PanelDocument, PanelSample } from "../src/api/pictures";
import { drawn } from "./browser";
import { demo_search } from "./demo";
import { served } from "./served";

const service = served();

type Marker = PanelSample["marker"];

const with_lamps = (page: Page, marker_at: (index: number) => Marker) =>
  page.route("**/v1/panel", async (route) => {
    const answer = await route.fetch();
    const panel = (await answer.json()) as PanelDocument;
    await route.fulfill({ json: { ...panel, samples: panel.samples.map((sample, index) => ({ ...sample, marker: marker_at(index) })) } });
  });

async function opened(marker_at: (index: number) => Marker, more = "") {
  const { page, faults } = await service.open_nothing();
  await with_lamps(page, marker_at);
  await page.goto(`${service.address}/${demo_search}&at=33:00${more}`);
  await drawn(page);
  return { page, faults };
}

const colour_of = (page: Page, selector: string) => page.locator(selector).evaluate((lamp) => getComputedStyle(lamp).backgroundColor.match(/\d+/g)!.map(Number));

describe("the lamps of the marker receiver", () => {
  it("are dark where no marker is received, and say so", async () => {
    const { page, faults } = await opened(() => ({ lit: null, localizer: null }));
    expect(await page.getByRole("img", { name: "Marker lights dark" }).innerText()).toMatch(/^O\s*M\s*I$/);
    expect(await page.locator(".lamp.blue, .lamp.amber, .lamp.white").count()).toBe(0);
    expect(faults).toEqual([]);
  });

  it.each([
    { lit: "outer", says: "outer marker of IXMR", letter: "O", lamp: ".lamp.blue", is: ([r, g, b]: number[]) => b! > r! && b! > g! },
    { lit: "middle", says: "middle marker of IXMR", letter: "M", lamp: ".lamp.amber", is: ([r, g, b]: number[]) => r! > g! && g! > b! },
    { lit: "inner", says: "inner marker of IXMR", letter: "I", lamp: ".lamp.white", is: ([r, g, b]: number[]) => Math.min(r!, g!, b!) > 240 },
    { lit: "back_course", says: "back course marker of IXMR", letter: "I", lamp: ".lamp.white", is: ([r, g, b]: number[]) => Math.min(r!, g!, b!) > 240 },
  ] as const)("light $lamp over the $says, told by letter and words too", async ({ lit, says, letter, lamp, is }) => {
    const { page } = await opened(() => ({ lit, localizer: "IXMR" }));
    const lamps = page.getByRole("img", { name: says });
    await lamps.waitFor();
    expect(await lamps.locator(".blue, .amber, .white").allInnerTexts()).toEqual([letter]);
    expect(is(await colour_of(page, lamp))).toBe(true);
  });

  it("are not there without a receiver", async () => {
    const { page } = await opened(() => null);
    expect(await page.locator(".marker-lights, .marker-passed").count()).toBe(0);
  });
});

describe("the ribbon", () => {
  it("has a tick with the letter of each marker that is passed", async () => {
    const lit = (index: number): Marker => (index >= 100 && index < 104 ? { lit: "outer", localizer: "IXMR" } : index === 140 ? { lit: "middle", localizer: "IXMR" } : { lit: null, localizer: null });
    const { page } = await opened(lit);
    expect(await page.locator(".marker-passed text").allTextContents()).toEqual(["O", "M"]);
  });
});

describe("the chart", () => {
  it("gives the figures of a marker's localizer where it is clicked, that of the marker picked out", async () => {
    const chart = await service.document<ChartDocument>("/v1/chart?west=-172.5&south=38&east=-165&north=43");
    const marker = chart.markers.find((one) => one.localizer === "IXMR" && one.kind === "outer")!;
    const { page } = await opened(() => null, `&chart=${marker.place.latitude_deg.toFixed(4)},${marker.place.longitude_deg.toFixed(4)},40`);
    await page.locator(".chart-box").click();
    const figures = page.getByRole("region", { name: "Figures of IXMR" });
    await figures.locator(".meant dt").waitFor();
    expect(await figures.locator(".meant dt").innerText()).toBe("outer marker");
    expect(await figures.locator(".meant dd").innerText()).toContain("NM from the threshold");
  });
});
