import type { Page } from "playwright-core";
import { describe, expect, it } from "vitest";
import { drawn } from "./browser";
import { demo_search, rehearsal_search } from "./demo";
import { served } from "./served";

const service = served();

const address_bar = (page: Page) => new URL(page.url()).search;
const has = (page: Page, word: string) => page.waitForFunction((one) => location.search.includes(one), word);
const has_not = (page: Page, word: string) => page.waitForFunction((one) => !location.search.includes(one), word);
const cursor_at = (page: Page) => page.getByRole("slider", { name: "Place along the flight" }).getAttribute("aria-valuenow");
const first_tick = (page: Page) => page.locator(".axis-tick text").first().textContent();
const entries = (page: Page) => page.evaluate(() => history.length);
const chart = (page: Page) => page.locator(".chart-box").screenshot();

/** Waits until the chart looks as it did: it is drawn some frames after the address bar says so. */
async function looks_like(page: Page, picture: Buffer): Promise<void> {
  await expect.poll(async () => (await chart(page)).equals(picture), { timeout: 10_000 }).toBe(true);
}

describe("back and forward", () => {
  it("take a run of zooming of the ribbon back, and bring it again", async () => {
    const { page, faults } = await service.open(`${demo_search}&at=1:00:00`);
    await drawn(page);
    const begun = await entries(page);
    await page.locator(".ribbon-box").focus();
    for (const _ of [1, 2]) {
      await page.keyboard.press("+");
      await has(page, "seen=");
    }
    await page.keyboard.press("+");
    const seen_before = new URL(page.url()).searchParams.get("seen")!;
    await page.waitForFunction((before) => new URLSearchParams(location.search).get("seen") !== before, seen_before);
    const zoomed = address_bar(page);
    const tick = await first_tick(page);
    expect(tick).not.toBe("0");
    expect(await entries(page)).toBe(begun + 1);
    await page.goBack();
    await page.waitForFunction(() => document.querySelector(".axis-tick text")?.textContent === "0");
    expect(address_bar(page)).toBe(`${demo_search}&at=1:00:00`);
    await page.goForward();
    await page.waitForFunction((says) => document.querySelector(".axis-tick text")?.textContent === says, tick);
    expect(address_bar(page)).toBe(zoomed);
    expect(faults).toEqual([]);
  });

  it("take the chart back to where it stood, and bring it again", async () => {
    const { page } = await service.open(demo_search);
    await drawn(page);
    const whole = await chart(page);
    await page.keyboard.press("/");
    await page.keyboard.type("XKE");
    await page.locator(".search-found [role=option]").first().waitFor();
    await page.keyboard.press("Enter");
    await has(page, "chart=");
    await page.getByRole("button", { name: "Close the figures" }).click();
    const there = address_bar(page);
    await page.goBack();
    expect(address_bar(page)).toBe(demo_search);
    await looks_like(page, whole);
    await page.goForward();
    expect(address_bar(page)).toBe(there);
    await expect.poll(async () => (await chart(page)).equals(whole)).toBe(false);
    // The very place that whoever opens this address sees.
    const near = await chart(page);
    await page.reload();
    await drawn(page);
    await looks_like(page, near);
  });

  it("take back which step was picked, and put the cursor where it was", async () => {
    const { page } = await service.open(`${demo_search}&at=30:00`);
    await drawn(page);
    await page.locator(".ribbon-box").focus();
    await page.keyboard.press("ArrowRight");
    await page.waitForFunction(() => document.querySelector("[role=slider]")?.getAttribute("aria-valuenow") !== "1800");
    const before = await cursor_at(page);
    const begun = await entries(page);
    for (const _ of [1, 2]) await page.keyboard.press("PageDown");
    await has(page, "step=");
    await page.waitForFunction((at) => document.querySelector("[role=slider]")?.getAttribute("aria-valuenow") !== at, before);
    const picked = new URL(page.url()).searchParams.get("step");
    const after = await cursor_at(page);
    expect(await entries(page)).toBe(begun + 1);
    await page.goBack();
    await has_not(page, "step=");
    await page.waitForFunction((at) => document.querySelector("[role=slider]")?.getAttribute("aria-valuenow") === at, before);
    await page.goForward();
    await page.waitForFunction((at) => document.querySelector("[role=slider]")?.getAttribute("aria-valuenow") === at, after);
    expect(new URL(page.url()).searchParams.get("step")).toBe(picked);
  });

  it("lead from one flight to another with all that was looked at, and leave the night colours on", async () => {
    const { page } = await service.open(`${demo_search}&at=20:30&step=6&seen=20-160.5&chart=40.4878,-168.6716,240`);
    await drawn(page);
    const first = address_bar(page);
    const near = await chart(page);
    const tick = await first_tick(page);
    await page.getByLabel("Wind", { exact: true }).fill("280/25");
    await page.getByRole("button", { name: "Plan", exact: true }).click();
    await has(page, "wind=280/25");
    await has_not(page, "seen=");
    await page.locator(".page:not(.busy)").waitFor();
    await page.locator(".ribbon-box").focus();
    await page.keyboard.press("End");
    await has(page, "&at=");
    await page.goBack();
    await has(page, "wind=270/20");
    await page.locator(".page:not(.busy)").waitFor();
    await page.waitForFunction((says) => document.querySelector(".axis-tick text")?.textContent === says, tick);
    await page.waitForFunction(() => document.querySelector("[role=slider]")?.getAttribute("aria-valuenow") === "1230");
    expect(address_bar(page)).toBe(first);
    await looks_like(page, near);
    await page.getByRole("button", { name: "Night" }).click();
    await has(page, "night");
    await page.goForward();
    await has(page, "wind=280/25");
    expect(address_bar(page)).toContain("&night");
    expect(await page.evaluate(() => document.documentElement.dataset["colours"])).toBe("night");
  });

  it("do not fly a rehearsal again for a zoom that is taken back", async () => {
    const { page } = await service.open_nothing();
    const asked: string[] = [];
    page.on("request", (request) => asked.push(new URL(request.url()).pathname));
    await page.goto(`${service.address}/${demo_search}${rehearsal_search}`);
    await page.locator(".by-step").waitFor();
    await page.locator(".ribbon-box").focus();
    await page.keyboard.press("+");
    await has(page, "seen=");
    await page.goBack();
    await has_not(page, "seen=");
    await page.waitForFunction(() => document.querySelector(".axis-tick text")?.textContent === "0");
    expect(await page.locator(".by-step").count()).toBeGreaterThan(0);
    expect(asked.filter((path) => path === "/v1/rehearse").length).toBe(1);
  });

  it("leave the card for the flight, however many steps were gone through", async () => {
    const { page } = await service.open(demo_search);
    await drawn(page);
    await page.getByRole("button", { name: "Card" }).click();
    await page.locator(".card-view .step-text").waitFor();
    for (const _ of [1, 2, 3]) await page.keyboard.press("ArrowRight");
    await has(page, "step=4");
    await page.goBack();
    await page.locator(".ribbon-box").waitFor();
    expect(address_bar(page)).not.toContain("view=card");
  });
});
