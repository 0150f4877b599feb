import { describe, expect, it } from "vitest";
import type { PlanDocument } from "../src/api/generated";
import { drawn } from "./browser";
import { demo, demo_search } from "./demo";
import { served } from "./served";

const service = served();
const three_search = `${demo_search}&choices=3`;
const three = { ...demo, choices: 3 };

describe("flights side by side", () => {
  it("are asked for by keyboard, and stand with sentences, costs and findings in the words of the plan", async () => {
    const plan = await service.document<PlanDocument>("/v1/plan", three);
    expect(plan.others.length).toBeGreaterThan(0);
    const { page, faults } = await service.open(demo_search);
    await drawn(page);
    const asked = page.waitForRequest((request) => request.url().endsWith("/v1/plan"));
    await page.getByRole("button", { name: "Compare with other flights" }).focus();
    await page.keyboard.press("Enter");
    expect((await asked).postDataJSON()).toEqual(three);
    const table = page.getByRole("region", { name: "Flights side by side" });
    await table.waitFor();
    expect(await table.getByRole("columnheader").count()).toBe(plan.others.length + 1);
    for (const [index, other] of plan.others.entries()) {
      const column = async (row: string) => (await table.getByRole("row", { name: new RegExp(`^${row}`) }).getByRole("cell").nth(index + 1).textContent()) ?? "";
      for (const sentence of [other.difference, ...other.differences]) expect(await column("How it differs")).toContain(sentence);
      expect(await column("Time")).toBe(`${other.costs.time_min.toFixed(0)} min`);
      expect(await column("Work")).toBe(`${other.costs.work_points.toFixed(0)} points`);
      expect(await column("Tightest margin")).toContain(`${Math.round(other.costs.margin_share * 100)} %`);
      expect(await column("Stations")).toBe(other.outline.stations.join(", "));
      for (const finding of other.findings) expect(await column("Findings")).toContain(finding.text);
    }
    expect(faults).toEqual([]);
  });

  it("one that is taken is the flight of all views, and keeps its place", async () => {
    const chosen = await service.document<PlanDocument>("/v1/plan", { ...three, choose: 2 });
    const { page } = await service.open(three_search);
    await drawn(page);
    const asked = Promise.all(["/v1/plan", "/v1/card"].map((path) => page.waitForRequest((request) => request.url().endsWith(path))));
    await page.getByRole("button", { name: "Take flight 2" }).click();
    for (const request of await asked) expect(request.postDataJSON()).toEqual({ ...three, choose: 2 });
    await page.getByRole("heading", { level: 1 }).getByText(chosen.flight!.route).waitFor();
    const header = page.getByRole("region", { name: "Flights side by side" }).getByRole("columnheader").nth(1);
    expect(await header.textContent()).toContain(chosen.flight!.route);
    expect(await header.textContent()).toContain("this flight");
    expect(new URL(page.url()).searchParams.get("choose")).toBe("2");
    await page.goBack();
    await page.getByRole("button", { name: "Take flight 2" }).waitFor();
  });

  it("are taken by touch on a tablet, beyond whose edge nothing stands", async () => {
    const { page } = await service.open(three_search, { viewport: { width: 768, height: 1024 }, hasTouch: true });
    await drawn(page);
    await page.getByRole("button", { name: "Take flight 2" }).tap();
    await page.waitForFunction(() => location.search.includes("choose=2"));
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(768);
  });
});
