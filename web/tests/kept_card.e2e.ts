import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import AxeBuilder from "@axe-core/playwright";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { CardDocument, GroundspeedCheckDocument } from "../src/api/generated";
import { row_of, time_of_day, wind_along } from "../src/card/flown_log";
import { demo, demo_search } from "./demo";
import { served } from "./served";

const service = served();
const tablet = { viewport: { width: 768, height: 1024 }, hasTouch: true };
const folder = mkdtempSync(join(tmpdir(), "kept-card-"));
const file = join(folder, "card.html");
afterAll(() => rmSync(folder, { recursive: true }));

/** The kept file, as opened where nothing can be asked; all that it asks for but itself. */
async function opened(hash = "", at = "2026-11-25T10:15:30Z"): Promise<{ page: Page; faults: string[]; asked: string[] }> {
  const { page, faults } = await service.open_nothing({ ...tablet, offline: true });
  const asked: string[] = [];
  page.on("request", (request) => {
    if (!request.url().startsWith(pathToFileURL(file).href)) asked.push(request.url());
  });
  await page.clock.setFixedTime(new Date(at));
  await page.goto(pathToFileURL(file).href + hash);
  await page.getByRole("heading", { level: 2 }).waitFor();
  return { page, faults, asked };
}

describe("a card that is kept", () => {
  let card: CardDocument;
  let check: GroundspeedCheckDocument;
  beforeAll(async () => {
    card = await service.document<CardDocument>("/v1/card", demo);
    check = await service.document<GroundspeedCheckDocument>("/v1/groundspeed-check", { card });
    const { page } = await service.open(`${demo_search}&view=card`, tablet);
    const download = page.waitForEvent("download");
    await page.getByRole("button", { name: "keep this card" }).tap();
    const kept = await download;
    expect(kept.suggestedFilename()).toBe("XDOV-XMRA-card.html");
    await kept.saveAs(file);
  });

  it("has every step, asks nobody and breaks no rule of its own", async () => {
    const steps = [...card.card.steps, ...card.card.missed];
    const { page, faults, asked } = await opened();
    expect(await page.title()).toBe("XDOV to XMRA - card");
    const said: string[] = [];
    for (const _ of steps) {
      said.push((await page.getByRole("heading", { level: 2 }).textContent())!);
      await page.keyboard.press("ArrowRight");
    }
    expect(said).toEqual(steps.map((step) => `${step.number} ${step.guidance.says}`));
    expect(await page.getByRole("button", { name: "back to the plan" }).count()).toBe(0);
    expect(asked).toEqual([]);
    expect(faults).toEqual([]);
  });

  it("tells over a fix what the service's table has for the time on the leg, and when to expect the next", async () => {
    const table = check.steps.find((one) => one.step > 1)!;
    const steps = card.card.steps;
    const index = steps.findIndex((step) => step.number === table.step);
    const before = steps[index - 1]!;
    const taken_s = Math.ceil(table.until_s[40]!);
    const told = row_of(table, taken_s)!;
    const { page } = await opened(`#step=${before.number}`);
    await page.keyboard.press("o");
    const began = Date.parse("2026-11-25T10:15:30Z");
    expect(await page.getByRole("status").textContent()).toBe(`expect it at ${time_of_day(began + steps[index]!.expected.time_s! * 1000)}, by the card`);
    await page.clock.setFixedTime(began + taken_s * 1000);
    await page.getByRole("button", { name: "over it now" }).tap();
    const words = `${told.groundspeed_kt} kt, ${wind_along(told.headwind_kt)}`;
    expect(await page.getByRole("list", { name: "Times noted" }).getByRole("listitem").allTextContents()).toEqual([
      `${before.number} 10:15:30 UTC`,
      `${table.step} ${time_of_day(began + taken_s * 1000)} ${words}`,
    ]);
    const expected = time_of_day(began + (taken_s + told.next_time_s!) * 1000);
    expect(await page.getByRole("status").textContent()).toBe(
      `expect it at ${expected}, after ${told.groundspeed_kt} kt on ${table.step}: ${wind_along(told.headwind_kt)}, forecast ${wind_along(table.forecast_headwind_kt)}`,
    );
    // A tablet that drops the page shows it again as it was.
    await page.reload();
    expect(await page.getByRole("status").textContent()).toContain(`expect it at ${expected}`);
    await page.keyboard.press("ArrowLeft");
    expect(await page.getByRole("status").textContent()).toContain(`over it at ${time_of_day(began + taken_s * 1000)}: ${words}`);
  });

  it("has its stopwatch and its night", async () => {
    const { page } = await opened();
    await page.keyboard.press("s");
    await page.getByRole("button", { name: "stop clock" }).waitFor();
    await page.clock.setFixedTime(new Date("2026-11-25T10:16:45Z"));
    await page.getByRole("button", { name: "stop clock 1:15" }).waitFor();
    await page.keyboard.press("n");
    await page.waitForFunction(() => location.hash.includes("night"));
    const paper = await page.evaluate(() => getComputedStyle(document.body).backgroundColor);
    expect(Math.max(...paper.match(/\d+/g)!.map(Number))).toBeLessThan(20);
    const found = await new AxeBuilder({ page }).analyze();
    expect(found.violations.filter((one) => one.impact === "serious" || one.impact === "critical").map((one) => one.id)).toEqual([]);
  });
});

it("a card that cannot be kept says so", async () => {
  const { page } = await service.open(`${demo_search}&view=card`, tablet);
  await page.getByRole("heading", { level: 2 }).waitFor();
  await page.route("**/v1/card-page", (route) => route.abort());
  await page.getByRole("button", { name: "keep this card" }).tap();
  expect(await page.getByRole("alert").textContent()).toContain("The card was not kept.");
});
