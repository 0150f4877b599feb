// Worlds that are not the demo's: published data of the FAA, and one with a single aid. tools/stages.sh serves both.
import { describe, expect, it } from "vitest";
import type { PlanDocument } from "../src/api/generated";
import type { AboutDocument } from "../src/api/pictures";
import { drawn } from "./browser";
import { served } from "./served";

const of_real_data = process.env["OMNIWAY_SERVICE_OF_REAL_DATA"] ?? "";
const of_one_aid = process.env["OMNIWAY_SERVICE_OF_ONE_AID"] ?? "";
if (of_real_data === "") console.warn("SKIPPED: no service of real data (OMNIWAY_SERVICE_OF_REAL_DATA), nothing is looked at there");
if (of_one_aid === "") console.warn("SKIPPED: no service of one aid (OMNIWAY_SERVICE_OF_ONE_AID), nothing is looked at there");

// A flight from Albany to Kennedy along VORs: tests/command holds what is planned there, this what is drawn of it.
const flight = { from: "KALB", to: "KJFK", aircraft: "single", wind: "270/15", date: "2021-02-01" };
const search = "?from=KALB&to=KJFK&aircraft=single&wind=270/15&date=2021-02-01";

describe.skipIf(of_real_data === "")("real data", () => {
  const service = served(of_real_data);

  it("asks, where it has no flight to propose", async () => {
    const { page, faults } = await service.open("");
    await page.getByRole("option", { name: flight.aircraft }).waitFor({ state: "attached" });
    expect(await page.locator(".problem").count()).toBe(0);
    expect(faults).toEqual([]);
  });

  it.each([1440, 768])("draws a flight on all views at %i pixels, and nothing beyond the edge", async (width) => {
    const plan = await service.document<PlanDocument>("/v1/plan", flight);
    const { page, faults } = await service.open(search, { viewport: { width, height: 1024 } });
    await drawn(page);
    expect(await page.locator(".ribbon .step").count()).toBe(plan.flight!.steps.length + plan.flight!.missed_approach.length);
    expect(await page.getByRole("heading", { level: 1 }).textContent()).toContain(plan.flight!.route);
    expect(await page.locator(".panel").isVisible()).toBe(true);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(width);
    expect(faults).toEqual([]);
  });

  it("moves all views with the cursor", async () => {
    const { page } = await service.open(search);
    await drawn(page);
    const before = await page.locator(".panel").innerText();
    await page.getByRole("slider", { name: "Place along the flight" }).focus();
    for (let press = 0; press < 3; ++press) await page.keyboard.press("Shift+ArrowRight");
    await page.waitForFunction((was) => document.querySelector<HTMLElement>(".panel")?.innerText !== was, before);
  });
});

describe.skipIf(of_one_aid === "")("one aid and nothing else", () => {
  const service = served(of_one_aid);

  it("leaves a form to ask by, and says why nothing can be flown", async () => {
    const about = await service.document<AboutDocument>("/v1/about");
    expect(about.first_question).toBe(null);
    const { page, faults } = await service.open("");
    await page.getByRole("option", { name: about.aircraft[0]! }).waitFor({ state: "attached" });
    expect(await page.locator(".problem, .ribbon").count()).toBe(0);
    expect(faults).toEqual([]);
    await page.getByRole("combobox", { name: "From" }).fill("XDOV");
    await page.getByRole("combobox", { name: "To" }).fill("XMRA");
    await page.getByRole("button", { name: "Plan", exact: true }).click();
    const alert = page.getByRole("alert");
    await alert.waitFor();
    expect(await alert.textContent()).toContain("XDOV");
  });
});
